import { describe, expect, it } from 'vitest';
import { takenLook } from '../../node/playback/taken-look.ts';
import { Picture } from '../../node/rig/picture.ts';
import { checkShow } from '../../node/show/read.ts';
import { Offline, press } from '../helpers/offline.ts';
import { demoNames, demoShow } from '../show/demo-show.ts';

/** When every fade has come. */
const COME = 60_000;

/** What a phone's picture shows of a look, and of the look that is taken from it. */
function bothOf(name: (typeof demoNames)[number], look: string) {
  const show = { ...demoShow(name), start: [], moments: [] };
  const buttons = [{ id: 'press', name: 'Press', starts: [{ look }] }];
  const was = new Offline(checkShow({ ...show, buttons }), [[0, press('press')]]);
  const frame = Float64Array.from(was.frame(COME));
  const taken = { id: 'taken', name: 'Taken', fade: 0, parts: takenLook(was.show.show, was.show.rig, frame).parts };
  const again = new Offline(
    checkShow({ ...show, looks: [...show.looks, taken], buttons: [{ id: 'press', name: 'Press', starts: [{ look: 'taken' }] }] }),
    [[0, press('press')]],
  );
  const colours = (night: Offline) => [...new Picture(night.show.rig).colours(Float64Array.from(night.frame(COME)))];
  return { was: colours(was), now: colours(again), parts: taken.parts };
}
const parted = (packed: number): number[] => [packed >> 16, (packed >> 8) & 255, packed & 255];

describe('A look that is taken from what is on', () => {
  it.each(demoNames.flatMap((name) => demoShow(name).looks.map(({ id }) => [name, id] as const)))(
    'shows what was on: %s, %s',
    (name, look) => {
      const { was, now } = bothOf(name, look);
      for (const [i, packed] of was.entries())
        for (const [k, one] of parted(packed).entries())
          expect(Math.abs(one - (parted(now[i] ?? 0)[k] ?? 0)), `light ${i}`).toBeLessThanOrEqual(3);
    },
  );

  it('names the client’s colours, uses and groups, and leaves haze and strobes to a person', () => {
    const { parts } = bothOf('barn-wedding', 'dinner');
    expect(parts[0]).toEqual({ who: [{ all: true }], brightness: 'best', level: 0 });
    const text = JSON.stringify(parts);
    expect(text).toContain('"theme:');
    expect(text).toMatch(/"(use|group)":"/);
    expect(text).not.toMatch(/haze|strobe|Rotate/);
  });
});
