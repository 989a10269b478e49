import type { Gains, HandMethod } from '@striderule/engine';
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
import { FIRST_WALK, type WalkPlace } from './walk/walk-place.ts';

/** Where the reader is, on whatever page: task, joint and hairline are kept from page to page. */
export interface Reading {
  readonly page: PageName;
  readonly task: string | undefined;
  readonly joint: JointChoice;
  readonly laid: readonly string[];
  readonly hairline: Hairline;
  /** Requirement whose line is opened in the evidence. */
  readonly row: string | undefined;
  /** Stiffness and damping as the address says them; and those that a link has brought, until they are told. */
  readonly gains: Gains | undefined;
  readonly linked: Gains | undefined;
  readonly method: HandMethod;
  readonly walk: WalkPlace;
  readonly toPage: (page: PageName) => void;
  /** Opens the line of a requirement in the evidence. */
  readonly toRow: (id: string) => void;
  readonly toTask: (task: string) => void;
  readonly toJoint: (joint: JointChoice) => void;
  readonly toGains: (gains: Gains) => void;
  readonly toMethod: (method: HandMethod) => void;
  /** Walks something else, or reads another stride. */
  readonly toWalk: (walk: WalkPlace) => void;
  readonly lay: (laid: readonly string[]) => void;
}

/** Follows the address and keeps it: a link, the way back and a reload lead to the same reading. */
export function usePlace(): Reading {
  const [start] = useState(placeAtStart);
  const [hairline] = useState(() => makeHairline(start.percent));
  const [place, setPlace] = useState<Omit<Place, 'percent'>>(start);
  const [linked, setLinked] = useState(start.gains);
  const now = useRef<Omit<Place, 'percent'>>(place);
  now.current = place;
  useEffect(() => hairline.follow((percent) => keepPlace({ ...place, percent })), [hairline, place]);
  useEffect(
    () =>
      followAddress((hash) => {
        const next = readPlace(hash, { ...now.current, percent: hairline.at() });
        if (next.gains !== now.current.gains) setLinked(next.gains);
        setPlace(next);
        hairline.moveTo(next.percent);
      }),
    [hairline],
  );
  const open = useCallback(
    (page: PageName, row?: string) => {
      const { row: _, ...rest } = now.current;
      const next = { ...rest, page, ...(row !== undefined && { row }) };
      openPlace({ ...next, percent: hairline.at() });
      setPlace(next);
      if (row === undefined) scrollTo(0, 0);
    },
    [hairline],
  );
  const toPage = useCallback((page: PageName) => open(page), [open]);
  const toRow = useCallback((id: string) => open('evidence', id), [open]);
  const toTask = useCallback((task: string) => setPlace((was) => ({ ...was, task })), []);
  const toJoint = useCallback(
    (joint: JointChoice) => setPlace(({ gains: _, ...was }) => ({ ...was, joint })),
    [],
  );
  const lay = useCallback((laid: readonly string[]) => setPlace((was) => ({ ...was, laid })), []);
  const toGains = useCallback((gains: Gains) => {
    setLinked(undefined);
    setPlace((was) => ({ ...was, gains }));
  }, []);
  const toMethod = useCallback((method: HandMethod) => setPlace((was) => ({ ...was, method })), []);
  const toWalk = useCallback((walk: WalkPlace) => setPlace((was) => ({ ...was, walk })), []);
  const { task, row, gains, walk = FIRST_WALK } = place;
  return {
    ...{ ...place, task, row, gains, walk, linked, hairline },
    ...{ toPage, toRow, toTask, toJoint, toGains, toMethod, toWalk, lay },
  };
}
