import { createContext } from 'react';

/** What of the ledger does not come because what works it out could not be read or run, each with how to ask again. */
export interface NotWorked {
  readonly margins?: (() => void) | undefined;
  readonly walks?: (() => void) | undefined;
}

export const NotWorkedContext = createContext<NotWorked>({});
