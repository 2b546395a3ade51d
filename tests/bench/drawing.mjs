import { built, now, report } from './common.mjs';
import { restlessShow } from './show.mjs';

const { Levels } = await built('core/levels.js');
const { Pipeline } = await built('pipeline/pipeline.js');
const { compileShow } = await built('playback/compile.js');
const { freshState } = await built('playback/reduce.js');
const { canvasFor, render } = await built('playback/render.js');
const { checkShow } = await built('show/read.js');

/** Milliseconds that the quickest of some rounds takes: whatever else runs on the machine only makes them dearer. */
function quickest(rounds, work) {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < rounds; i++) {
    const begun = now();
    work(i);
    least = Math.min(least, now() - begun);
  }
  return least;
}

const hue = (i) => `#${((i * 2654435761) >>> 8).toString(16).padStart(6, '0').slice(-6)}`;

/** 200 lamps of one kind in 300 looks of two colours each, and a chase of 64 steps in which each wears a colour of its own, to be matched. */
function largeNight() {
  const { fixtures, ...rest } = restlessShow(10);
  const pars = fixtures.filter(({ type }) => type === 'rgbw-par').slice(0, 200);
  const parts = (i) => [{ who: [{ use: 'uplight' }], level: 0.5, colour: [hue(i % 20), hue((i % 20) + 1)] }];
  const step = (k) => ({
    length: { beats: 1 },
    parts: pars.map(({ id }, i) => ({ who: [{ fixture: id }], level: 1, colour: hue(i + k), brightness: 'match' })),
  });
  return {
    ...rest,
    fixtures: [...fixtures.filter(({ type }) => type !== 'rgbw-par'), ...pars],
    looks: [...rest.looks, ...Array.from({ length: 300 }, (_, i) => ({ id: `look-${i}`, name: 'Look', parts: parts(i) }))],
    chases: [...rest.chases, { id: 'long', name: 'Long', steps: Array.from({ length: 64 }, (_, k) => step(k)) }],
  };
}

const night = checkShow(largeNight());
const before = compileShow(night);
const whole = quickest(5, () => compileShow(night));
const edit = quickest(20, (i) => {
  const looks = night.looks.map((look) => (look.id === 'look-7' ? { ...look, fade: i } : look));
  compileShow({ ...night, looks }, before);
});

const show = compileShow(checkShow(restlessShow(64)));
const state = freshState(show, 0);
const frame = Float64Array.from(show.rig.rest);
const canvas = canvasFor(show);
const pipeline = Pipeline.for(show, new Levels(show.rig.universes));
const PER_ROUND = 50;
const drawn = quickest(40, (n) => {
  for (let i = 0; i < PER_ROUND; i++) render(show, state, (n * PER_ROUND + i) * 25, frame, canvas);
});
const through = quickest(40, (n) => {
  for (let i = 0; i < PER_ROUND; i++) pipeline.run(state, (n * PER_ROUND + i) * 25);
});
report({ whole, edit, drawn: drawn / PER_ROUND, through: through / PER_ROUND, cells: frame.length });
