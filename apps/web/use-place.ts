import { useCallback, useEffect, useRef, useState } from 'react';
import { type Hairline, makeHairline } from './hairline.ts';
import {
  followAddress,
  type JointChoice,
  keepPlace,
  openPlace,
  type PageName,
  type Place,
  placeAtStart,
  readPlace,
} from './place.ts';

/** Where the reader is, on whatever page: task, joint and hairline are kept from page to page. */
export interface Reading {
  readonly page: PageName;
  readonly task: string | undefined;
  readonly joint: JointChoice;
  readonly laid: readonly string[];
  readonly hairline: Hairline;
  readonly toPage: (page: PageName) => void;
  readonly toTask: (task: string) => void;
  readonly toJoint: (joint: JointChoice) => void;
  readonly lay: (laid: readonly string[]) => void;
}

/** Follows the address and keeps it: a link, the way back and a reload lead to the same reading. */
export function usePlace(): Reading {
  const [start] = useState(placeAtStart);
  const [hairline] = useState(() => makeHairline(start.percent));
  const [place, setPlace] = useState<Omit<Place, 'percent'>>(start);
  const now = useRef<Omit<Place, 'percent'>>(place);
  now.current = place;
  useEffect(() => hairline.follow((percent) => keepPlace({ ...place, percent })), [hairline, place]);
  useEffect(
    () =>
      followAddress((hash) => {
        const next = readPlace(hash, { ...now.current, percent: hairline.at() });
        setPlace(next);
        hairline.moveTo(next.percent);
      }),
    [hairline],
  );
  const toPage = useCallback(
    (page: PageName) => {
      openPlace({ ...now.current, page, percent: hairline.at() });
      setPlace((was) => ({ ...was, page }));
      scrollTo(0, 0);
    },
    [hairline],
  );
  const toTask = useCallback((task: string) => setPlace((was) => ({ ...was, task })), []);
  const toJoint = useCallback((joint: JointChoice) => setPlace((was) => ({ ...was, joint })), []);
  const lay = useCallback((laid: readonly string[]) => setPlace((was) => ({ ...was, laid })), []);
  return { ...place, task: place.task, hairline, toPage, toTask, toJoint, lay };
}
