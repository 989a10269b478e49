import { answerWalk, type WalkAsk } from './answer-walk.ts';

addEventListener('message', ({ data }: MessageEvent<WalkAsk>) =>
  answerWalk(data, (answer) =>
    // the log goes over without being copied
    postMessage(answer, { transfer: answer.kind === 'walked' ? [answer.record.log.table.buffer] : [] }),
  ),
);
