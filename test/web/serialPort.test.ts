import { expect, test } from 'vitest';
import { readPort, type SerialPort, serialOf } from '../../web/live/serialPort.ts';

/** A port whose device is plugged in, sends, goes wrong and is pulled out as the test says. */
class FakePort implements SerialPort {
  readable: ReadableStream<Uint8Array> | null = null;
  readonly opened: { readonly baudRate: number }[] = [];
  isPlugged = true;
  isClosed = true;
  private source: ReadableStreamDefaultController<Uint8Array> | null = null;

  async open(options: { readonly baudRate: number }): Promise<void> {
    if (!this.isPlugged) throw new DOMException('Failed to open serial port.', 'NetworkError');
    if (!this.isClosed) throw new DOMException('It is open.', 'InvalidStateError');
    this.isClosed = false;
    this.opened.push(options);
    this.renew();
  }

  async close(): Promise<void> {
    if (this.readable?.locked) throw new TypeError('Cannot close a locked stream');
    this.isClosed = true;
    this.readable = null;
  }

  send(text: string): void {
    this.source!.enqueue(new TextEncoder().encode(text));
  }

  /** An error that the port outlives, as when a buffer runs over. */
  overrun(): void {
    const { source } = this;
    this.renew();
    source!.error(new DOMException('Buffer overrun', 'BufferOverrunError'));
  }

  pull(): void {
    this.isPlugged = false;
    this.readable = null;
    this.source!.error(new DOMException('The device has been lost.', 'NetworkError'));
  }

  private renew(): void {
    this.readable = new ReadableStream({
      start: (source) => {
        this.source = source;
      },
    });
  }
}

function start(port: FakePort) {
  const stop = new AbortController();
  let heard = '';
  const hear = async (text: string): Promise<void> => {
    heard += text;
  };
  const sink = {
    bytes: (chunk: Uint8Array) => hear(new TextDecoder().decode(chunk)),
    lost: () => hear('[lost]'),
    back: () => hear('[back]'),
  };
  const done = readPort(port, 9600, sink, stop.signal);
  return {
    done,
    until: (end: string) => expect.poll(() => heard, { interval: 5 }).toMatch(new RegExp(`${end}$`)),
    stop: async () => {
      stop.abort();
      await done;
      return heard;
    },
  };
}

test('what a port gives is handed on in order, and the port is closed in the end', async () => {
  const port = new FakePort();
  const reading = start(port);
  await expect.poll(() => port.readable).not.toBeNull();
  for (let i = 0; i < 10; ++i) port.send(`${i},`);
  await reading.until('9,');
  port.send('last');
  await reading.until('last');
  expect(await reading.stop()).toBe('0,1,2,3,4,5,6,7,8,9,last');
  expect([port.isClosed, port.opened[0]!.baudRate]).toEqual([true, 9600]);
});

test('what came just before it is stopped is handed on too', async () => {
  const port = new FakePort();
  const reading = start(port);
  await expect.poll(() => port.readable).not.toBeNull();
  port.send('now');
  await new Promise((resolve) => setTimeout(resolve));
  expect(await reading.stop()).toBe('now');
});

test('a device that is pulled out is waited for and read on', async () => {
  const port = new FakePort();
  const reading = start(port);
  await expect.poll(() => port.readable).not.toBeNull();
  port.send('before');
  await reading.until('before');
  port.pull();
  await reading.until('lost.');
  port.isPlugged = true;
  await reading.until('back.');
  port.send('after');
  await reading.until('after');
  expect(await reading.stop()).toBe('before[lost][back]after');
  expect(port.opened).toHaveLength(2);
});

test('an overrun, which loses bytes, is a gap; the port stays open', async () => {
  const port = new FakePort();
  const reading = start(port);
  await expect.poll(() => port.readable).not.toBeNull();
  port.send('12,3');
  await reading.until('12,3');
  port.overrun();
  await reading.until('back.');
  port.send('6\n');
  await reading.until('6\n');
  expect(await reading.stop()).toBe('12,3[lost][back]6\n');
  expect(port.opened).toHaveLength(1);
});

test('a port that cannot be opened is told of at once', async () => {
  const port = new FakePort();
  port.isPlugged = false;
  await expect(start(port).done).rejects.toThrow('Failed to open');
});

test('a sink that fails ends it, and the port is closed', async () => {
  const port = new FakePort();
  const fail = async (): Promise<void> => {
    throw new Error('refused');
  };
  const done = readPort(port, 9600, { bytes: fail, lost: fail, back: fail }, new AbortController().signal);
  await expect.poll(() => port.readable).not.toBeNull();
  port.send('x');
  await expect(done).rejects.toThrow('refused');
  expect(port.isClosed).toBe(true);
});

test('a browser without serial ports has none', () => {
  expect(serialOf({} as Navigator)).toBeNull();
});
