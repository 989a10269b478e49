/** The folder of the built page, or undefined where the build failed; the build says why on standard error. */
export function buildPage(): string | undefined;
