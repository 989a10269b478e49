/** Version `n` of the file that the kill tests save: sizes from nothing much to several hundred kB, all different. */
export function versionText(n: number): string {
  const filler = 'x'.repeat([10, 5_000, 70_000, 400_000][n % 4]!);
  return JSON.stringify({ version: n, filler, end: n });
}

/** The version that a file holds, or an error that says how it is broken. */
export function versionIn(text: string): number {
  const { version } = JSON.parse(text) as { version: number };
  if (text !== versionText(version)) throw new Error(`version ${version} is not as it was written`);
  return version;
}
