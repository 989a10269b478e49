import { answerMap, type MapAsk } from './answer-map.ts';

addEventListener('message', ({ data }: MessageEvent<MapAsk>) => postMessage(answerMap(data)));
