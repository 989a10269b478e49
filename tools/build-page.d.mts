/** The folder of the built page, or undefined where the build failed; the build says why on standard error. */
export function buildPage(): string | undefined;

/** Lays each text of `folder` beside itself compressed, as `name.gz`. */
export function pack(folder: string): void;
