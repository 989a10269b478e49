import { answerLedger, type LedgerAsk } from './answer-ledger.ts';
import { answerWalk, type WalkAsk } from './answer-walk.ts';

addEventListener('message', ({ data }: MessageEvent<WalkAsk | LedgerAsk>) => {
  if ('walks' in data) answerLedger(data, (answer) => postMessage(answer));
  else
    answerWalk(data, (answer) =>
      // the log goes over without being copied
      postMessage(answer, { transfer: answer.kind === 'walked' ? [answer.record.log.table.buffer] : [] }),
    );
});
