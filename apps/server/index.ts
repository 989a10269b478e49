export { type ServedStudy, serveStudy } from './serve-study.ts';
