/**
 * Lines to a file or to standard output, written together and beside the work. What cannot be written is lost rather than
 * waited for: pino's own destination tries a full disk again for ever, and with it the process never ends.
 */
import { closeSync, openSync, write, writeSync } from 'node:fs';

/** One write for each line costs more than an eighth of an answer. */
const TOGETHER_BYTES = 4096;
/** No line waits longer for others. */
const LATEST_MS = 200;
/** What may wait for a slow disk: lines must not fill the memory. */
const WAITING_BYTES = 4 * 1024 * 1024;

export interface Lines {
  /** @param line with its line feed. */
  write(line: string): void;
  /** Writes what waits, once. */
  close(): void;
}

/**
 * @param target a file that is added to, or the number of an open one.
 * @param onError is told each time that lines are lost.
 * @throws Error when the file cannot be opened.
 */
export function linesTo(target: string | number, onError: (error: Error) => void): Lines {
  const fd = typeof target === 'number' ? target : openSync(target, 'a');
  let waiting = '';
  let writing: Buffer | undefined;

  function proceed(): void {
    if (writing !== undefined || waiting === '') return;
    writing = Buffer.from(waiting);
    waiting = '';
    continueWriting();
  }

  function continueWriting(): void {
    if (writing === undefined) return;
    write(fd, writing, (error, written) => {
      if (writing === undefined) return;
      // a pipe that is full takes the rest later
      if (error?.code === 'EAGAIN') return void setTimeout(continueWriting, LATEST_MS).unref();
      if (error) onError(error);
      writing = error || written === writing.length ? undefined : writing.subarray(written);
      if (writing !== undefined) continueWriting();
      else if (waiting.length >= TOGETHER_BYTES) proceed();
    });
  }

  const timer = setInterval(proceed, LATEST_MS).unref();

  function close(): void {
    clearInterval(timer);
    process.off('exit', close);
    const left = Buffer.concat([writing ?? Buffer.alloc(0), Buffer.from(waiting)]);
    writing = undefined;
    waiting = '';
    try {
      if (left.length > 0) writeSync(fd, left);
      if (typeof target === 'string') closeSync(fd);
    } catch (error) {
      onError(error as Error);
    }
  }
  process.once('exit', close);

  return {
    write(line) {
      if (waiting.length < WAITING_BYTES) waiting += line;
      if (waiting.length >= TOGETHER_BYTES) proceed();
    },
    close,
  };
}
