import type { FaultData } from '@striderule/engine';
import type {
  CsvPreview,
  FaultPayload,
  ImportDone,
  ImportStarted,
  ProgressEvent,
  RecordingChecked,
  SeemingLayout,
  UploadDone,
} from '@striderule/wire';
import { type Posted, post } from '../design/post.ts';

/** How work on the server ends. */
export type Ended<T> = Posted<T> | { readonly kind: 'cancelled' };

/** One dropped file. The server may have lost it, as when it was started anew: it is sent again by itself. */
export interface DroppedFile {
  readonly name: string;
  readonly preview: (layout?: Partial<SeemingLayout>) => Promise<Posted<CsvPreview>>;
  readonly check: (recipe: string, work: Follow) => Promise<Ended<RecordingChecked>>;
  readonly save: (
    recipe: string,
    about: { readonly task: string; readonly title: string },
    work: Follow,
  ) => Promise<Ended<ImportDone>>;
}

/** How long work is followed and stopped. */
export interface Follow {
  readonly signal: AbortSignal;
  readonly onProgress: (progress: ProgressEvent) => void;
}

const lostIt = (faults: readonly FaultData[]): boolean =>
  faults.some(({ code }) => code === 'server.no-upload');

async function sent(file: File): Promise<Posted<UploadDone>> {
  try {
    const answer = await fetch(`/api/imports/files?name=${encodeURIComponent(file.name)}`, {
      method: 'POST',
      headers: { 'content-type': 'text/csv', accept: 'application/json' },
      body: file,
    });
    const said: unknown = await answer.json();
    if (answer.ok) return { kind: 'done', answer: said as UploadDone };
    return { kind: 'faults', faults: (said as FaultPayload).faults, conflict: false };
  } catch {
    return { kind: 'lost' };
  }
}

export function droppedFile(file: File): DroppedFile {
  let upload: string | undefined;
  const ask = async <T>(address: string, body: object): Promise<Posted<T>> => {
    for (let tries = 0; ; tries++) {
      if (upload === undefined) {
        const got = await sent(file);
        if (got.kind !== 'done') return got;
        upload = got.answer.upload;
      }
      const got = await post<T>(address, { upload, ...body });
      if (got.kind !== 'faults' || !lostIt(got.faults) || tries > 0) return got;
      upload = undefined;
    }
  };
  const followed = async <T>(address: string, body: object, work: Follow): Promise<Ended<T>> => {
    const started = await ask<ImportStarted>(address, body);
    return started.kind === 'done' ? followJob<T>(started.answer.id, work) : started;
  };
  return {
    name: file.name,
    preview: (layout) => ask('/api/imports/preview', layout === undefined ? {} : { layout }),
    check: (recipe, work) => followed('/api/imports/checks', { recipe }, work),
    save: (recipe, about, work) => followed('/api/imports', { recipe, ...about }, work),
  };
}

/** Follows a job to its end; stopping it asks the server to stop, and waits for what it says. */
function followJob<T>(id: string, { signal, onProgress }: Follow): Promise<Ended<T>> {
  return new Promise((resolve) => {
    const events = new EventSource(`/api/imports/${id}/events`);
    const end = (ended: Ended<T>) => {
      events.close();
      signal.removeEventListener('abort', stop);
      resolve(ended);
    };
    const stop = () => {
      fetch(`/api/imports/${id}`, { method: 'DELETE' }).catch(() => end({ kind: 'lost' }));
    };
    const on = (name: string, take: (data: string) => void) =>
      events.addEventListener(name, (event) => take((event as MessageEvent<string>).data));
    on('progress', (data) => onProgress(JSON.parse(data)));
    on('done', (data) => end({ kind: 'done', answer: JSON.parse(data) }));
    on('fault', (data) =>
      end({ kind: 'faults', faults: (JSON.parse(data) as FaultPayload).faults, conflict: false }),
    );
    on('cancelled', () => end({ kind: 'cancelled' }));
    events.onerror = () => end({ kind: 'lost' });
    if (signal.aborted) stop();
    else signal.addEventListener('abort', stop);
  });
}
