// npm start [-- [--once] [--port n] [folder]]
//
// Opens a study (the demo study, or the folder given), prints its requirement ledger with the walks that are kept, builds the page when it is older
// than its sources, says the address and serves IN THIS PROCESS until Ctrl-C, SIGTERM, or until npm is gone. With
// --once it prints the ledger and ends: no page, no server.
//
// Exit: 0 done or stopped; 1 a fault in the study, the page's build, or a port that is taken; 2 not understood.

import './bootstrap.mjs';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { buildPage } from './build-page.mjs';
import { importCompiled } from './compile.mjs';

const parent = process.ppid; // read before anything slow: npm may be gone by then
const grandparent = parentOf(parent); // between npm and us stands a shell
const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
// npm runs us in the clone; a folder is meant from where the command was typed
const typedIn = process.env.INIT_CWD ?? process.cwd();

const asked = readArguments();
const { Fault, faultText } = await importCompiled('engine/index');

try {
  await start(asked);
} catch (error) {
  if (error instanceof Fault) for (const fault of error.faults) console.error(faultText(fault));
  else if (error.code === 'EADDRINUSE') {
    console.error(`Port ${asked.port} is taken. Stop what uses it, or choose another: npm start -- --port 0`);
  } else console.error(error);
  process.exit(1);
}

async function start({ folder, once, port }) {
  const { openStudy } = await importCompiled('store/index');
  const { ledgerOf } = await importCompiled('apps/cli/evidence-ledger');
  const { input } = await openStudy(folder);
  console.log(await ledgerOf(folder, input));
  if (once) return;

  const webDir = buildPage();
  if (webDir === undefined) {
    console.error(
      'The page could not be built; the reason stands above. `npm start -- --once` needs no page.',
    );
    process.exit(1);
  }
  const { serveStudy } = await importCompiled('apps/server/index');
  const server = await serveStudy({ folder, webDir, port });
  console.log(`\nThe page is at ${server.url}\nCtrl-C stops.`);

  let stopping = false;
  const stop = async () => {
    if (stopping) process.exit(0); // asked twice: at once
    stopping = true;
    await server.close();
    process.exit(0);
  };
  process.on('SIGINT', stop);
  process.on('SIGTERM', stop);
  process.on('SIGHUP', stop);
  if (process.env.npm_lifecycle_event) {
    setInterval(() => {
      if (process.ppid !== parent || parentOf(parent) !== grandparent) stop();
    }, 1000).unref();
  }
}

function readArguments() {
  try {
    const { values, positionals } = parseArgs({
      options: { once: { type: 'boolean' }, port: { type: 'string' } },
      allowPositionals: true,
    });
    if (positionals.length > 1) throw new Error(`"${positionals[1]}" is one word too many`);
    const port = Number(values.port ?? 0);
    if (!Number.isInteger(port) || port < 0 || port > 65535) {
      throw new Error(`--port "${values.port}" is no port; give 0 (any free one) to 65535`);
    }
    const folder =
      positionals[0] === undefined ? path.join(root, 'examples/tern') : path.resolve(typedIn, positionals[0]);
    return { folder, once: values.once ?? false, port };
  } catch (error) {
    console.error(`${error.message}.\nnpm start [-- [--once] [--port n] [folder of a study]]`);
    process.exit(2);
  }
}

/** The parent of a process where the system tells (Linux); undefined elsewhere, and then it is not watched. */
function parentOf(pid) {
  try {
    return Number(readFileSync(`/proc/${pid}/stat`, 'utf8').replace(/^.*\)/s, '').trim().split(' ')[1]);
  } catch {
    return undefined;
  }
}
