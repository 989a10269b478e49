/** Data, on standard output. */
export function out(text: string): void {
  process.stdout.write(text.endsWith('\n') ? text : `${text}\n`);
}

/** Messages and progress, on standard error: never in the way of data. */
export function say(text: string): void {
  process.stderr.write(text.endsWith('\n') ? text : `${text}\n`);
}

/** JSON as it is handed to a script: typed arrays as lists, null where a number is missing, "Infinity" where it has no bound. */
export function json(value: unknown): string {
  return JSON.stringify(
    value,
    (_, item) => {
      if (ArrayBuffer.isView(item)) return Array.from(item as Float64Array);
      return item === Number.POSITIVE_INFINITY || item === Number.NEGATIVE_INFINITY ? String(item) : item;
    },
    2,
  );
}

const colour = (process.stdout.isTTY ?? false) && !process.env.NO_COLOR;

/** Emphasis on a terminal only, never with NO_COLOR; the word itself always says it. */
export const strong = (text: string): string => (colour ? `\u001b[1m${text}\u001b[22m` : text);
