// The command line. Help and version are answered from plain data, at once; only a real command loads the engine.

import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { COMMANDS } from './commands.mjs';

/** Does what the words after `striderule` ask and gives the exit code. */
export async function command(args) {
  const words = args.filter((argument) => !argument.startsWith('-'));
  const asksHelp = args.includes('--help') || args.includes('-h') || words[0] === 'help';
  const [stage, verb] = words[0] === 'help' ? words.slice(1) : words;

  if (args[0] === '--version') {
    const { version } = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'));
    process.stdout.write(`striderule ${version}\n`);
    return 0;
  }
  if (stage === undefined && (asksHelp || args.length === 0)) return help('topHelp');
  if (stage === undefined || !Object.hasOwn(COMMANDS, stage)) {
    return misunderstood(`there is no stage "${stage ?? args[0]}"`, stage ?? '', Object.keys(COMMANDS), '');
  }
  const { verbs } = COMMANDS[stage];
  if (verb === undefined) {
    if (asksHelp) return help('stageHelp', stage);
    return misunderstood(`"${stage}" needs a verb: ${Object.keys(verbs).join(', ')}`, '', [], stage);
  }
  if (!Object.hasOwn(verbs, verb)) {
    return misunderstood(`"${stage}" has no verb "${verb}"`, verb, Object.keys(verbs), stage);
  }
  if (asksHelp) return help('verbHelp', stage, verb);
  return run(stage, verb, args);
}

async function run(stage, verb, args) {
  const about = COMMANDS[stage].verbs[verb];
  const here = `${stage} ${verb}`;
  const options = Object.fromEntries(
    Object.entries(about.options).map(([name, { type, short }]) => [
      name,
      short ? { type, short } : { type },
    ]),
  );
  let parsed;
  try {
    const words = withNegatives(args, options);
    parsed = parseArgs({ args: words, options, allowPositionals: true, strict: true });
  } catch (error) {
    const unknown = /^Unknown option '(-{1,2}[^']*)'/.exec(error.message)?.[1];
    const bare = /^Option '(-[^' ]+)[^']*' argument is ambiguous/.exec(error.message)?.[1];
    if (bare !== undefined)
      return misunderstood(`${bare} needs a value before the next option`, '', [], here);
    if (unknown === undefined) return misunderstood(error.message.replace(/\.$/, ''), '', [], here);
    const names = Object.keys(options).map((name) => `--${name}`);
    return misunderstood(`"${here}" has no option ${unknown}`, unknown, names, here);
  }
  const given = parsed.positionals.slice(2);
  if (parsed.positionals[0] !== stage || parsed.positionals[1] !== verb) {
    return misunderstood(`write the stage and the verb first: striderule ${here} …`, '', [], here);
  }
  const [least, most] = about.positionals;
  if (given.length < least) return misunderstood(`"${here}" needs ${about.wants}`, '', [], here);
  if (given.length > most) return misunderstood(`"${given[most]}" is one word too many`, '', [], here);
  const missing = (about.required ?? []).filter((name) => parsed.values[name] === undefined);
  if (missing.length > 0) {
    return misunderstood(`"${here}" needs ${missing.map((name) => `--${name}`).join(' and ')}`, '', [], here);
  }
  const main = await loadMain();
  return main.run({ stage, verb, values: parsed.values, positionals: given });
}

/** `--seed -1` as `--seed=-1`: the parser takes a value that begins with a dash for an option, a number or not. */
function withNegatives(args, options) {
  const joined = [];
  for (let i = 0; i < args.length; i++) {
    const takesValue = args[i].startsWith('--') && options[args[i].slice(2)]?.type === 'string';
    const negative = takesValue && /^-[.\d]/.test(args[i + 1] ?? '');
    joined.push(negative ? `${args[i]}=${args[++i]}` : args[i]);
  }
  return joined;
}

async function help(name, ...of) {
  const texts = await import('./help.mjs');
  process.stdout.write(texts[name](...of));
  return 0;
}

/** Says what was not understood, the name that is nearest, and where help is. Exit code 2. */
async function misunderstood(what, word, names, where) {
  const near = word === '' ? undefined : (await loadMain()).nearest(word, names);
  const offer =
    near === undefined
      ? names.length > 0
        ? ` There is: ${names.join(', ')}.`
        : ''
      : ` Did you mean "${near}"?`;
  process.stderr.write(`striderule: ${what}.${offer}\n`);
  process.stderr.write(
    `striderule ${where === '' ? '' : `${where} `}--help shows what there is, with examples.\n`,
  );
  return 2;
}

async function loadMain() {
  const { importCompiled } = await import('../../tools/compile.mjs');
  return importCompiled('apps/cli/main');
}
