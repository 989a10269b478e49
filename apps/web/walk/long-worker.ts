import { answerLong, type LongAsk } from './answer-long.ts';

addEventListener('message', ({ data }: MessageEvent<LongAsk>) =>
  answerLong(data, (answer) => postMessage(answer)),
);
