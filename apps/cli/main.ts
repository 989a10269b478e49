import { Fault, faultText, nearestName } from '@striderule/engine';
import { say } from './print.ts';
import type { Values } from './values.ts';

/** A command as the entry has parsed it. */
export interface Command {
  readonly stage: string;
  readonly verb: string;
  readonly values: Values;
  readonly positionals: readonly string[];
}

/** The known word nearest to a misspelt one. */
export const nearest = nearestName;

/** Runs one command and gives its exit code: 0 done, 1 fault, 2 not understood, 3 not met, 70 a bug, 130 Ctrl-C. */
export async function run(command: Command): Promise<number> {
  try {
    return await dispatch(command);
  } catch (error) {
    return exitCodeOf(error);
  }
}

/** Each stage is loaded only when it is asked for. */
async function dispatch({ stage, verb, values, positionals }: Command): Promise<number> {
  switch (`${stage} ${verb}`) {
    case 'demand show':
      return (await import('./demand-show.ts')).demandShow(values);
    case 'demand import':
      return (await import('./demand-import.ts')).demandImport(positionals[0]!, values);
    case 'drive check':
      return (await import('./drive-check.ts')).driveCheck(values);
    case 'drive heat':
      return (await import('./drive-heat.ts')).driveHeat(values);
    case 'drive bandwidth':
      return (await import('./drive-bandwidth.ts')).driveBandwidth(values);
    case 'drive sound':
      return (await import('./drive-sound.ts')).driveSound(positionals[0]!, values);
    case 'drive scan':
      return (await import('./drive-scan.ts')).driveScan(values);
    case 'drive ratio':
      return (await import('./drive-ratio.ts')).driveRatio(values);
    case 'drive energy':
      return (await import('./drive-energy.ts')).driveEnergy(values);
    case 'drive spring':
      return (await import('./drive-spring.ts')).driveSpring(values);
    case 'drive assist':
      return (await import('./drive-assist.ts')).driveAssist(values);
    case 'drive tolerance':
      return (await import('./drive-tolerance.ts')).driveTolerance(values);
    case 'drive powerloss':
      return (await import('./drive-powerloss.ts')).drivePowerloss(values);
    case 'drive backdrive':
      return (await import('./drive-backdrive.ts')).driveBackdrive(values);
    case 'control impedance':
      return (await import('./control-impedance.ts')).controlImpedance(values);
    case 'control stance':
      return (await import('./control-stance.ts')).controlStance(values);
    case 'control swing':
      return (await import('./control-swing.ts')).controlSwing(values);
    case 'control sensor':
      return (await import('./control-sensor.ts')).controlSensor(values);
    case 'control estimate':
      return (await import('./control-estimate.ts')).controlEstimate(values);
    case 'control check':
      return (await import('./control-check.ts')).controlCheck(values);
    case 'control export':
      return (await import('./control-export.ts')).controlExport(values);
    case 'control replay':
      return (await import('./control-replay.ts')).controlReplay(positionals[0]!, values);
    case 'walk run':
      return (await import('./walk-run.ts')).walkRun(values);
    case 'walk price':
      return (await import('./walk-price.ts')).walkPrice(values);
    case 'walk shortlist':
      return (await import('./walk-shortlist.ts')).walkShortlist(values);
    case 'walk powercut':
      return (await import('./walk-powercut.ts')).walkPowercut(values);
    case 'walk faults':
      return (await import('./walk-faults.ts')).walkFaults(values);
    case 'walk scenario':
      return (await import('./walk-scenario.ts')).walkScenario(positionals, values);
    case 'walk compare':
      return (await import('./walk-compare.ts')).walkCompare(positionals, values);
    case 'evidence ledger':
      return (await import('./evidence-ledger.ts')).evidenceLedger(values);
    case 'study new':
      return (await import('./study-new.ts')).studyNew(positionals[0]!, values);
    case 'study check':
      return (await import('./study-check.ts')).studyCheck(positionals[0], values);
    case 'study migrate':
      return (await import('./study-migrate.ts')).studyMigrate(positionals[0], values);
    default:
      throw new Error(`the entry let "${stage} ${verb}" through, which is no command`);
  }
}

function exitCodeOf(error: unknown): number {
  if (error instanceof Fault) {
    for (const fault of error.faults) say(faultText(fault));
    return error.faults.some((fault) => fault.code.startsWith('cli.')) ? 2 : 1;
  }
  if (error instanceof Error && error.name === 'AbortError') {
    say('Stopped; nothing was changed.');
    return 130;
  }
  if (error instanceof Error && 'syscall' in error) {
    say(`${error.message}. Look at the path and at what you may do there.`);
    return 1;
  }
  say(`This is a bug in Striderule. ${error instanceof Error ? error.stack : String(error)}`);
  return 70;
}
