export * from './engine/index.ts'; export { openStudy } from './store/index.ts';
export { walkPlan as plan_ } from './engine/study/walk-plan.ts';
export { openWalk as openWalk_ } from './engine/walk/walk-run.ts';
export { walkRoom, COUNT, KEPT } from './engine/walk/walk-room.ts'; export {walkSteps} from './engine/walk/walk-step.ts'; export {walkTick} from './engine/walk/walk-tick.ts'; export { LOG_WIDTH } from './engine/walk/walk-log.ts';
export { stridesOfPlan as sop } from './engine/study/walk-report.ts'; export { candidateStudy as cs, walkCandidate as wc } from './engine/study/walk-shortlist.ts';