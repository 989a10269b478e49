import type { FaultData } from '@striderule/engine';
import type { FaultPayload } from '@striderule/wire';

/** What came of a request: the answer, the faults it met, or that nobody answered. */
export type Posted<T> =
  | { readonly kind: 'done'; readonly answer: T }
  | { readonly kind: 'faults'; readonly faults: readonly FaultData[]; readonly conflict: boolean }
  | { readonly kind: 'lost' };

/** Sends JSON to our own server. Never throws: a server that is gone is an answer too. */
export async function post<T>(address: string, body: unknown): Promise<Posted<T>> {
  try {
    const answer = await fetch(address, {
      method: 'POST',
      headers: { 'content-type': 'application/json', accept: 'application/json' },
      body: JSON.stringify(body),
    });
    const said: unknown = await answer.json();
    if (answer.ok) return { kind: 'done', answer: said as T };
    return { kind: 'faults', faults: (said as FaultPayload).faults, conflict: answer.status === 409 };
  } catch {
    return { kind: 'lost' };
  }
}
