import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileShow, type Playbook, playbookOf } from '../../node/playback/compile.ts';
import { reduce } from '../../node/playback/reduce.ts';
import { canvasFor, render } from '../../node/playback/render.ts';
import type { PlayState } from '../../node/playback/state.ts';
import { Offline, START } from '../helpers/offline.ts';
import { demoNames, demoShow } from '../show/demo-show.ts';
import { anyCommand, anyScript, bigLittleShow, during } from './any-script.ts';

const shows = [bigLittleShow, ...demoNames.map(demoShow)];

function frameOf(playbook: Playbook, state: PlayState, now: number): Float64Array {
  return render(playbook, state, now, new Float64Array(playbook.rig.rest.length), canvasFor(playbook));
}

describe('a playbook', () => {
  it.each(shows.map((show) => [show.id, show] as const))(
    'of "%s" is plain data: a copy for another thread is the same',
    (_, show) => {
      const playbook = playbookOf(compileShow(show));
      expect(structuredClone(playbook)).toEqual(playbook);
      expect(playbook).not.toHaveProperty('show');
    },
  );

  it('that was copied plays the same, whatever is pressed', () => {
    const playbook = playbookOf(compileShow(bigLittleShow));
    const copy = structuredClone(playbook);
    const scripted = anyScript({ maxLength: 12 }).chain((script) => fc.tuple(fc.constant(script), during(script), anyCommand()));
    fc.assert(
      fc.property(scripted, ([script, at, one]) => {
        const state = new Offline(bigLittleShow, script).state(at);
        expect(reduce(copy, state, one, START + at)).toEqual(reduce(playbook, state, one, START + at));
        expect(frameOf(copy, state, START + at)).toEqual(frameOf(playbook, state, START + at));
      }),
      { numRuns: 60 },
    );
  });

  it.each(shows.map((show) => [show.id, show] as const))('of "%s" is the same each time it is made', (_, show) => {
    expect(compileShow(structuredClone(show))).toEqual(compileShow(show));
  });
});
