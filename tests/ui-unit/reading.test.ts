import { describe, expect, it } from 'vitest';
import { readLevels, readMessage } from '../../ui/src/reading.ts';

describe('what comes over the line', () => {
  it('is a message where it is an object that says what it is', () => {
    expect(readMessage('{"type":"done","id":3}')).toEqual({ type: 'done', id: 3 });
  });

  it.each(['', 'garbage', 'null', '7', '"text"', '[]', '{}', '{"type":'])('%j is no message, and no error', (text) => {
    expect(readMessage(text)).toBeUndefined();
  });

  it('is a frame of levels where it has its length: universe, high octet first, then slots from slot 1', () => {
    const frame = new Uint8Array(514);
    frame.set([0x01, 0x02, 7]);
    const read = readLevels(frame.buffer);
    expect(read?.universe).toBe(258);
    expect(read?.slots).toHaveLength(512);
    expect(read?.slots[0]).toBe(7);
  });

  it.each([0, 1, 2, 513, 515])('%i octets are no frame of levels, and no error', (length) => {
    expect(readLevels(new ArrayBuffer(length))).toBeUndefined();
  });
});
