import { randomUUID } from 'node:crypto';
import { createWriteStream } from 'node:fs';
import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { ReadableStream } from 'node:stream/web';
import { Fault } from '@striderule/engine';

export interface Upload {
  readonly file: string;
  readonly name: string;
  readonly size: number;
}

/** Kept at a time; an older one is dropped. A page works on one. */
const KEPT = 4;

/**
 * Files that were dropped onto the page, outside the study until they are imported: nothing half of it is ever seen there. They go
 * when the server stops.
 */
export class Uploads {
  readonly #most: number;
  readonly #uploads = new Map<string, Upload>();
  #home: Promise<string> | undefined;

  /** `most`: bytes that one file may have. */
  constructor(most: number) {
    this.#most = most;
  }

  /** Takes a file in; gives its id. Faults: a name that is none, a file that is too large. */
  async take(
    name: string,
    body: ReadableStream<Uint8Array>,
  ): Promise<{ readonly id: string; readonly size: number }> {
    if (
      name === '' ||
      name.length > 200 ||
      name !== path.basename(name) ||
      /[\\\p{Cc}]/u.test(name) ||
      /^\.+$/.test(name)
    ) {
      throw new Fault({
        code: 'server.upload-name',
        what: `"${name}" is no name of a file`,
        mend: 'Rename the file and drop it again',
      });
    }
    this.#home ??= mkdtemp(path.join(tmpdir(), 'striderule-upload-'));
    const id = randomUUID();
    const folder = path.join(await this.#home, id);
    await mkdir(folder);
    const file = path.join(folder, name);
    let size = 0;
    const most = this.#most;
    const counted = new Transform({
      transform(chunk: Uint8Array, _, done) {
        size += chunk.length;
        done(size > most ? tooLarge(most) : null, chunk);
      },
    });
    try {
      await pipeline(body, counted, createWriteStream(file, { flags: 'wx' }));
    } catch (error) {
      await rm(folder, { recursive: true, force: true });
      throw error;
    }
    this.#uploads.set(id, { file, name, size });
    for (const [old, upload] of this.#uploads) {
      if (this.#uploads.size <= KEPT) break;
      this.#uploads.delete(old);
      await rm(path.dirname(upload.file), { recursive: true, force: true });
    }
    return { id, size };
  }

  /** Fault: it is no longer there. */
  get(id: string): Upload {
    const upload = this.#uploads.get(id);
    if (upload !== undefined) return upload;
    throw new Fault({
      code: 'server.no-upload',
      what: 'the server does not have this file any more',
      mend: 'Drop the file again',
    });
  }

  async end(): Promise<void> {
    this.#uploads.clear();
    if (this.#home !== undefined) await rm(await this.#home, { recursive: true, force: true });
  }
}

const tooLarge = (most: number): Fault =>
  new Fault({
    code: 'server.upload-too-large',
    what: `this file is larger than ${most / 2 ** 20} MB`,
    mend: 'Import it with `striderule demand import`, which can leave the original where it is',
  });
