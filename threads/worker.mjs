// One thread of a pool. It is given the name of an engine function and what all its pieces have in common as `workerData`
// { open, held }, one piece at a time as a message { index, task }, and answers { index, answer }, { index, faults } where the
// engine refuses, or { index, failed } in words. A plain module, since a thread has no loader of its own: the engine comes
// compiled, as for the command.

import { parentPort, workerData } from 'node:worker_threads';
import { importCompiled } from '../tools/compile.mjs';

const engine = await importCompiled('engine/index');
let piece;

parentPort.on('message', ({ index, task }) => {
  try {
    piece ??= engine[workerData.open](workerData.held);
    parentPort.postMessage({ index, answer: piece(task) });
  } catch (error) {
    if (error instanceof engine.Fault) parentPort.postMessage({ index, faults: error.faults });
    else parentPort.postMessage({ index, failed: error instanceof Error ? error.message : String(error) });
  }
});
