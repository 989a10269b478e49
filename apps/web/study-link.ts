import type { FolderState } from '@striderule/wire';
import { useCallback, useLayoutEffect, useRef, useState } from 'react';
import { firstStudy } from './first-reading.ts';
import { readStudy, type StudyState } from './read-study.ts';

export interface StudyLink {
  readonly state: StudyState;
  /** True while the server does not answer; what is shown is then as it was last read. */
  readonly lost: boolean;
  readonly again: () => void;
}

const RETRY = 1500;

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
    reading.current = Promise.all([mine === 1 ? firstStudy : readStudy(), beside()]).then(
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
