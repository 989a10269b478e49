// What apps may use of threads.

export { inPool, type PieceAnswer, type PieceName, type PieceTask, type PieceWork } from './pool.ts';
