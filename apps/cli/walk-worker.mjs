// One worker of the shortlist's pool. It is given studies and the walk as `workerData`, a candidate at a time as a message
// { index, study, candidate }, and answers { index, walk }, or { index, failed } in words. A plain module, since a worker
// has no loader of its own: the engine comes compiled, as for the command.

import { parentPort, workerData } from 'node:worker_threads';
import { importCompiled } from '../../tools/compile.mjs';

const { walkCandidate } = await importCompiled('engine/index');
const { studies, choice, length } = workerData;

parentPort.on('message', ({ index, study, candidate }) => {
  try {
    parentPort.postMessage({ index, walk: walkCandidate(studies[study], candidate, choice, length) });
  } catch (error) {
    parentPort.postMessage({ index, failed: error instanceof Error ? error.message : String(error) });
  }
});
