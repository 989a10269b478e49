import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';

/** This machine in a file name: a study on a network disk is written from several. */
export const HOST_TAG = createHash('sha256').update(hostname()).digest('hex').slice(0, 8);

/** Whether a process of this machine runs. One that we may not signal runs too. */
export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/**
 * When the process started, in clock ticks since boot, where the system tells (Linux). Process ids are used again,
 * soon in a container or after a reboot; id and start together are not.
 */
export function startOf(pid: number): string | undefined {
  try {
    // the name of the program stands in brackets and may hold anything; field 22 counts from before it
    return readFileSync(`/proc/${pid}/stat`, 'utf8').replace(/^.*\)/s, '').trim().split(/\s+/)[19];
  } catch {
    return undefined;
  }
}
