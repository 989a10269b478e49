const WIDTH = 110;

/** Text broken at spaces to lines that are read easily; later lines are indented by `indent`. */
export function paragraph(text: string, indent = 0): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = ' '.repeat(indent) + word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(line);
  return lines.join('\n');
}

/** A list: a dash each, later lines under the text. */
export const list = (items: readonly string[]): string =>
  items.map((item) => paragraph(`- ${item}`, 2)).join('\n');
