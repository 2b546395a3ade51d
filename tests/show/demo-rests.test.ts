import { describe, expect, it } from 'vitest';
import { dwell } from '../../node/guards/dwell/dwell.ts';
import { render } from '../../node/playback/render.ts';
import { Offline, press, START } from '../helpers/offline.ts';
import { ordinary } from '../helpers/ordinary.ts';
import { demoNames, demoShow } from './demo-show.ts';

/** Every button for so long that whatever it starts has come round; holding a hit is nobody's rest. */
const LONG = 45_000;

describe.each(demoNames)('the demo show %s', (name) => {
  const show = demoShow(name);

  it.each(show.buttons.filter(({ starts }) => starts.every((ref) => !('hit' in ref))).map((one) => [one.name, one.id] as const))(
    'rests no beam where guests may look into it while %s is on',
    (_, id) => {
      // What a guard knows nothing of counts from half: it has seen the room before.
      const night = new Offline(show, [[2000, press(id)]]);
      const guard = dwell(show, night.show.rig);
      const memory = guard.memory();
      const frame = new Float64Array(night.show.rig.rest.length);
      const dimmed = new Set<string>();
      for (let at = 0; at <= LONG; at += 50) {
        render(night.show, night.state(at), START + at, frame, night.canvas);
        guard.step(frame, { ...ordinary, now: START + at }, memory);
        for (const place of guard.held?.(memory) ?? []) dimmed.add(show.fixtures[place]?.name ?? '');
      }
      expect([...dimmed]).toEqual([]);
    },
  );
});
