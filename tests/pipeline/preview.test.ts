import { describe, expect, it } from 'vitest';
import { Levels } from '../../node/core/levels.ts';
import { Pipeline } from '../../node/pipeline/pipeline.ts';
import { Preview } from '../../node/pipeline/preview.ts';
import { compileShow } from '../../node/playback/compile.ts';
import { freshState, reduce } from '../../node/playback/reduce.ts';
import { Picture } from '../../node/rig/picture.ts';
import type { Show } from '../../node/show/document.ts';
import { checkShow, readDraft } from '../../node/show/read.ts';
import { type Spoilable, smallShow } from '../show/small-show.ts';

const T = 5_000_000;
const show = (spoil: (show: Spoilable) => void = () => undefined): Show => {
  const json: Spoilable = smallShow();
  spoil(json);
  return checkShow(json);
};

/** The picture that phones are told of a press in the room. */
function roomAfter(of: Show, button: string, at: number): { colours: number[]; aims: number[] } {
  const compiled = compileShow(of);
  const pipeline = Pipeline.for(compiled, new Levels(compiled.rig.universes));
  const empty = freshState({ ...compiled, start: [] }, T);
  pipeline.run(reduce(compiled, empty, { do: 'press', button }, T, 1), at);
  const picture = new Picture(compiled.rig);
  return { colours: picture.colours(pipeline.frame), aims: picture.aims(pipeline.frame) };
}

describe('a preview', () => {
  it('of a look shows what the room shows once it has come', () => {
    const preview = new Preview();
    expect(preview.draw(T)).toBeUndefined();
    expect(preview.take(show())).toBe(true);
    preview.watch('look:warm', undefined);
    expect(preview.draw(T)).toEqual(roomAfter(show(), 'warm', T + 60_000));
    expect(preview.lamps).toEqual([
      { id: 'left', band: 'walls', use: 'uplight' },
      { id: 'right', band: 'walls', use: 'uplight' },
    ]);
  });

  it('of what is on shows it as it would be with what was changed of it since, under the masters and the blackout of the room', () => {
    const preview = new Preview();
    preview.take(show());
    const on = { playing: [{ item: 'look:warm', startedAt: T }], masters: { all: 1, groups: {} }, blackout: false, bpm: 120 };
    preview.watch(undefined, on);
    const before = preview.draw(T + 60_000);
    expect(before).toEqual(roomAfter(show(), 'warm', T + 60_000));
    const edited = show((one) => (one.theme.colours[0].value = '#0000ff'));
    preview.take(edited);
    expect(preview.draw(T + 60_001)).toEqual(roomAfter(edited, 'warm', T + 60_000));
    preview.watch(undefined, { ...on, blackout: true });
    expect(preview.draw(T + 60_100)?.colours).toEqual([0, 0]);
    preview.watch(undefined, { ...on, playing: [] });
    expect(preview.draw(T + 60_200)?.colours).toEqual([0, 0]);
  });

  it('of a chase goes on in phase while it is changed, and lights the lamps whose brightness it leaves to what lies below', () => {
    const preview = new Preview();
    preview.take(show());
    preview.watch('chase:turn', undefined);
    const first = preview.draw(T);
    // Red left, blue right: both lit though the chase names no level. Two seconds are four beats: the left one turns green.
    expect(first?.colours.map((one) => one.toString(16))).toEqual([
      expect.stringMatching(/^[5-9a-f].0000$/),
      expect.stringMatching(/^[5-9a-f].$/),
    ]);
    preview.take(show((one) => (one.chases[0].steps[1].parts[0].colour = '#ff0000')));
    expect(preview.draw(T + 1000)?.colours).toEqual(first?.colours);
    preview.take(show());
    expect(((preview.draw(T + 2500)?.colours[0] ?? 0) >> 8) & 255).toBeGreaterThan(80);
  });

  it('of what cannot be drawn stays at the last state that could, and one unfinished look keeps no other from being seen', () => {
    const preview = new Preview();
    preview.take(show());
    preview.watch('look:warm', undefined);
    const lit = preview.draw(T);
    const draft = (spoil: (show: Spoilable) => void): Show => {
      const json: Spoilable = smallShow();
      spoil(json);
      return readDraft(json).show;
    };
    expect(preview.take(draft((one) => delete one.fixtures[0].address))).toBe(false);
    expect(preview.draw(T + 10)).toEqual(lit);
    expect(preview.take(draft((one) => one.looks.push({ id: 'empty', name: 'Empty', parts: [] })))).toBe(true);
    expect(preview.draw(T + 20)).toEqual(lit);
  });

  it('needs no memory that threads share: a browser gives that to few pages', () => {
    const { SharedArrayBuffer: shared } = globalThis;
    try {
      // @ts-expect-error: as in a browser.
      delete globalThis.SharedArrayBuffer;
      const preview = new Preview();
      preview.take(show());
      preview.watch('look:warm', undefined);
      expect(preview.draw(T)?.colours[0]).toBeGreaterThan(0);
    } finally {
      globalThis.SharedArrayBuffer = shared;
    }
  });
});
