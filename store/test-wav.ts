// Writes WAV files for tests, by the format's own description.

interface Written {
  readonly kind?: 'pcm' | 'float';
  readonly bits?: number;
  readonly rate?: number;
  readonly extensible?: boolean;
}

/** A WAV file of channels of equal length, ±1 being full scale. */
export function wavBytes(channels: readonly Float64Array[], written: Written = {}): Buffer {
  const { kind = 'pcm', bits = 16, rate = 48_000, extensible = false } = written;
  const width = bits / 8;
  const count = channels[0]!.length;
  const data = Buffer.alloc(count * channels.length * width);
  let at = 0;
  for (let i = 0; i < count; i++) {
    for (const channel of channels) {
      const x = channel[i]!;
      if (kind === 'float') {
        if (bits === 32) data.writeFloatLE(x, at);
        else data.writeDoubleLE(x, at);
      } else if (bits === 8) data.writeUInt8(Math.round(x * 128) + 128, at);
      else data.writeIntLE(Math.round(x * 2 ** (bits - 1)), at, width);
      at += width;
    }
  }
  const tag = kind === 'pcm' ? 1 : 3;
  const format = Buffer.alloc(extensible ? 40 : 16);
  format.writeUInt16LE(extensible ? 0xfffe : tag, 0);
  format.writeUInt16LE(channels.length, 2);
  format.writeUInt32LE(rate, 4);
  format.writeUInt32LE(rate * channels.length * width, 8);
  format.writeUInt16LE(channels.length * width, 12);
  format.writeUInt16LE(bits, 14);
  if (extensible) {
    format.writeUInt16LE(22, 16);
    format.writeUInt16LE(bits, 18);
    format.writeUInt16LE(tag, 24);
  }
  return riff([chunk('LIST', Buffer.from('odd')), chunk('fmt ', format), chunk('data', data)]);
}

/** One chunk, with the byte that makes its length even. */
export function chunk(name: string, content: Buffer): Buffer {
  const head = Buffer.alloc(8);
  head.write(name, 'latin1');
  head.writeUInt32LE(content.length, 4);
  return Buffer.concat([head, content, Buffer.alloc(content.length % 2)]);
}

/** Chunks in a RIFF/WAVE file. */
export const riff = (chunks: readonly Buffer[]): Buffer =>
  chunk('RIFF', Buffer.concat([Buffer.from('WAVE', 'latin1'), ...chunks]));
