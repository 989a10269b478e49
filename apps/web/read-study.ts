import type { FaultData, StudyInput } from '@striderule/engine';
import type { FaultPayload, StudyPayload } from '@striderule/wire';
import { receivedLeg } from './received-leg.ts';

/** What the catalogue says of the metrics that the study’s requirements name. */
export type Metrics = StudyPayload['metrics'];

/** What the page knows of its study. */
export type StudyState =
  | { readonly kind: 'reading' }
  | {
      readonly kind: 'study';
      readonly input: StudyInput;
      readonly metrics: Metrics;
      readonly fingerprint: string;
      readonly folder: string;
    }
  | { readonly kind: 'faults'; readonly faults: readonly FaultData[] }
  | { readonly kind: 'refused'; readonly why: string };

/** Refuses where the server does not answer. */
export async function readStudy(): Promise<StudyState> {
  const answer = await fetch('/api/study', { headers: { accept: 'application/json' } });
  if (answer.status === 401 || answer.status === 403)
    return {
      kind: 'refused',
      why: 'This browser is not known to the server. Open the address that `npm start` printed.',
    };
  if (answer.ok) {
    const { input, metrics, fingerprint, state: folder }: StudyPayload = await answer.json();
    return { kind: 'study', input: { ...input, leg: receivedLeg(input.leg) }, metrics, fingerprint, folder };
  }
  if (answer.status === 422) {
    const { faults }: FaultPayload = await answer.json();
    return { kind: 'faults', faults };
  }
  return { kind: 'refused', why: `The server answered ${answer.status}.` };
}
