import type { FaultData, StudyInput } from '@striderule/engine';
import type { FaultPayload, FolderState, StudyPayload } from '@striderule/wire';
import { useCallback, useLayoutEffect, useRef, useState } from 'react';
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

export interface StudyLink {
  readonly state: StudyState;
  /** True while the server does not answer; what is shown is then as it was last read. */
  readonly lost: boolean;
  readonly again: () => void;
}

const RETRY = 1500;

async function readStudy(): Promise<StudyState> {
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

/**
 * Reads the study, and again whenever its files change; says when the server is gone and comes back by itself. `beside` reads what the study
 * is shown with, at the same time: the study is there when both are. It never refuses.
 */
export function useStudy(beside: () => Promise<void>): StudyLink {
  const [state, setState] = useState<StudyState>({ kind: 'reading' });
  const [lost, setLost] = useState(false);
  const turn = useRef(0);
  // state of the folder that was read, unknown while it has a fault; and what a reading that is under way leads to
  const read = useRef('');
  const reading = useRef<Promise<void>>(undefined);
  const again = useCallback(() => {
    const mine = ++turn.current;
    reading.current = Promise.all([readStudy(), beside()]).then(
      ([next]) => {
        if (mine !== turn.current) return;
        setLost(false);
        read.current = next.kind === 'study' ? next.folder : '';
        setState((now) =>
          now.kind === 'study' && next.kind === 'study' && now.fingerprint === next.fingerprint ? now : next,
        );
      },
      () => {
        if (mine === turn.current) setLost(true);
      },
    );
  }, [beside]);
  // before anything is painted: what comes then comes sooner
  useLayoutEffect(() => {
    again();
    let source: EventSource | undefined;
    let timer: ReturnType<typeof setTimeout> | undefined;
    let broken = false;
    const listen = () => {
      source = new EventSource('/api/study/changes');
      source.addEventListener('open', () => {
        if (broken) again(); // what changed meanwhile was not told
        broken = false;
      });
      // the first tells the folder as it is: what changed before anybody listened shows in it
      source.addEventListener('state', (event) => {
        const { state: folder }: FolderState = JSON.parse(event.data);
        reading.current?.then(() => {
          if (folder !== read.current) again();
        });
      });
      source.addEventListener('error', () => {
        broken = true;
        source?.close();
        again();
        timer = setTimeout(listen, RETRY);
      });
    };
    listen();
    return () => {
      clearTimeout(timer);
      source?.close();
    };
  }, [again]);
  return { state, lost, again };
}
