/** Shows how far long work is. */
export interface Progress {
  /** `share` from 0 to 1, and in words how far that is. */
  readonly to: (share: number, what: string) => void;
  /** Ends the line, whatever it shows. */
  readonly end: () => void;
}

const CELLS = 30;

/** On a terminal a bar on one line; elsewhere, in a log, a line each 10 %. */
export function progress(stream: NodeJS.WriteStream, title: string): Progress {
  return stream.isTTY ? bar(stream, title) : lines(stream, title);
}

function bar(stream: NodeJS.WriteStream, title: string): Progress {
  let drawn = '';
  return {
    to(share, what) {
      const full = Math.round(share * CELLS);
      const next = `${title} ${'━'.repeat(full)}${'┄'.repeat(CELLS - full)} ${String(Math.floor(share * 100)).padStart(3)} %  ${what}`;
      if (next === drawn) return;
      stream.write(`\r\u001b[K${next}`);
      drawn = next;
    },
    end() {
      if (drawn !== '') stream.write('\n');
      drawn = '';
    },
  };
}

function lines(stream: NodeJS.WriteStream, title: string): Progress {
  let told = 0;
  return {
    to(share, what) {
      const tenth = Math.floor(share * 10 + 1e-9);
      if (tenth <= told) return;
      told = tenth;
      stream.write(`${title} ${tenth * 10} %  ${what}\n`);
    },
    end() {},
  };
}
