// Help at three levels, made from commands.mjs. Nothing here loads the engine, so that --help is quick.

import { CAUTION, COMMANDS, EXIT_CODES } from './commands.mjs';

const WIDTH = 96;

/** Lines of at most WIDTH; what stands in brackets is one word. */
function wrap(text, indent) {
  const lines = [];
  let line = '';
  for (const word of text.match(/\[[^\]]*\]|\S+/g)) {
    if (line !== '' && indent + line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(line);
  return lines.join(`\n${' '.repeat(indent)}`);
}

/** Two aligned columns, the second wrapped. */
function rows(pairs, indent = 2) {
  const left = Math.min(Math.max(...pairs.map(([head]) => head.length)), 44);
  return pairs
    .map(([head, text]) => {
      const column = indent + left + 2;
      const start = `${' '.repeat(indent)}${head.padEnd(left)}`;
      return head.length > left
        ? `${start}\n${' '.repeat(column)}${wrap(text, column)}`
        : `${start}  ${wrap(text, column)}`;
    })
    .join('\n');
}

/** Help of the whole command line. */
export function topHelp() {
  const verbs = Object.entries(COMMANDS).flatMap(([stage, { verbs }]) =>
    Object.entries(verbs).map(([verb, { summary }]) => [`${stage} ${verb}`, summary]),
  );
  return `striderule <stage> <verb>: a slide rule for strides

From human strides to what this leg's knee and ankle must deliver, through motor, ratio and mesh
loss, to a ledger of requirements. A study is a folder of small YAML files.

${rows(verbs)}

Begin with
  striderule evidence ledger                  the ledger of the demo study
  striderule study new my-leg                 a study of your own
  striderule <stage> <verb> --help            what a command takes, with examples

Every command takes --json, and --study <folder> where it reads one. Data go to standard output,
messages and progress to standard error. Colour only on a terminal, and never with NO_COLOR.

Exit codes
${rows(EXIT_CODES.map(([code, text]) => [String(code), text]))}

${wrap(CAUTION, 0)}
`;
}

/** Help of one stage: its verbs with an example each. */
export function stageHelp(stage) {
  const { summary, verbs } = COMMANDS[stage];
  const examples = Object.values(verbs).map(({ examples }) => [
    `striderule ${examples[0][0]}`,
    examples[0][1],
  ]);
  return `striderule ${stage} <verb>: ${summary}

${rows(Object.entries(verbs).map(([verb, about]) => [verb, about.summary]))}

Examples
${rows(examples)}

  striderule ${stage} <verb> --help says what each takes.
`;
}

/** Help of one verb: usage, options, examples. */
export function verbHelp(stage, verb) {
  const { summary, usage, options, examples, notes } = COMMANDS[stage].verbs[verb];
  const flags = Object.entries(options).map(([name, { short, value, help }]) => [
    `${short ? `-${short}, ` : ''}--${name}${value ? ` <${value}>` : ''}`,
    help,
  ]);
  return `striderule ${stage} ${verb}: ${summary}

  ${wrap(`striderule ${usage}`, 4)}

${rows(flags)}

Examples
${rows(examples.map(([line, text]) => [`striderule ${line}`, text]))}
${notes === '' ? '' : `\n${wrap(notes, 0)}\n`}`;
}
