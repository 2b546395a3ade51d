import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CompiledShow, compileShow, type Playbook } from '../../node/playback/compile.ts';
import { reduce } from '../../node/playback/reduce.ts';
import { canvasFor, render } from '../../node/playback/render.ts';
import type { PlayState } from '../../node/playback/state.ts';
import { itemKinds, type Show } from '../../node/show/document.ts';
import { Offline, START } from '../helpers/offline.ts';
import { everybody, place, tinyShow } from '../helpers/tiny-show.ts';
import { demoNames, demoShow } from '../show/demo-show.ts';
import { anyCommand, anyScript, bigLittleShow, during } from './any-script.ts';

const shows = [bigLittleShow, ...demoNames.map(demoShow)];

function frameOf(playbook: Playbook, state: PlayState, now: number): Float64Array {
  return render(playbook, state, now, new Float64Array(playbook.rig.rest.length), canvasFor(playbook));
}

/** What is handed to whoever plays: all but the document. */
const playbookOf = ({ show: _document, ...playbook }: CompiledShow): Playbook => playbook;

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

describe('a show that was changed', () => {
  const barn = demoShow('barn-wedding');
  const before = compileShow(barn);
  /** Keys of what was compiled anew. */
  const made = (show: Show, of: CompiledShow = before): string[] => {
    const after = compileShow(show, of);
    return [...after.items].filter(([key, item]) => of.items.get(key) !== item).map(([key]) => key);
  };

  it('is compiled anew in that one thing', () => {
    for (const kind of itemKinds) {
      const list = `${kind}s` as const;
      for (const [i, { id }] of barn[list].entries()) {
        const rows = barn[list].map((row, k) => (k === i ? { ...row, fade: 1.25 } : row));
        expect(made({ ...barn, [list]: rows })).toEqual([`${kind}:${id}`]);
      }
    }
  });

  it('in nothing that plays is not compiled anew at all, and keeps its rig', () => {
    const renamed = { ...barn, name: 'Another', tempo: 99, moments: [], notes: 'changed' };
    expect(made(renamed)).toEqual([]);
    expect(compileShow(renamed, before).rig).toBe(before.rig);
  });

  it('in its fixtures is compiled anew throughout', () => {
    const moved = { ...barn, fixtures: [...barn.fixtures] };
    expect(made(moved)).toEqual([...before.items.keys()]);
  });

  it('is the same as if it had never been compiled before', () => {
    const edits: readonly Partial<Show>[] = [
      { looks: barn.looks.map((look, i) => (i === 0 ? { ...look, parts: look.parts.slice(1, 2) } : look)) },
      { chases: barn.chases.slice(1), groups: [] },
      { theme: { ...barn.theme, colours: barn.theme.colours.map((one) => ({ ...one, value: '#123456' })) } },
      { fixtures: [...barn.fixtures].reverse() },
    ];
    for (const edit of edits) {
      const show = { ...barn, ...edit };
      expect(compileShow(show, before)).toEqual(compileShow(structuredClone(show)));
    }
  });

  const small = tinyShow({
    theme: { name: 'Invented', colours: ['one', 'two'].map((id) => ({ id, name: id, value: '#ff8000' })) },
    fixtures: [place('left', 'rgbw-par', '6ch', 1), place('right', 'rgbw-par', '6ch', 10)],
    groups: ['left', 'right'].map((id) => ({ id, fixtures: [id] })),
    looks: [
      { id: 'of-group', parts: [{ who: [{ group: 'left' }], level: 1 }] },
      { id: 'of-colour', parts: [{ who: everybody, colour: ['#ffffff', 'theme:one'] }] },
      { id: 'of-neither', parts: [{ who: [{ group: 'right' }], colour: 'theme:two' }] },
    ],
    chases: [
      {
        id: 'of-both',
        steps: ['left', 'right'].map((group) => ({
          length: { beats: 1 },
          parts: [{ who: [{ group }], colour: group === 'left' ? 'theme:one' : '#000000' }],
        })),
      },
    ],
    movements: [{ id: 'moves', who: [{ group: 'left' }], figure: 'circle', size: { pan: 1, tilt: 1 }, period: { beats: 1 } }],
  });

  it('in a group is compiled anew in what names that group', () => {
    const groups = small.groups.map((group) => (group.id === 'left' ? { ...group, fixtures: ['right'] } : group));
    expect(made({ ...small, groups }, compileShow(small))).toEqual(['look:of-group', 'chase:of-both', 'movement:moves']);
  });

  it('in a colour of its theme is compiled anew in what wears that colour', () => {
    const colours = small.theme.colours.map((one) => (one.id === 'one' ? { ...one, value: '#00ff00' } : one));
    expect(made({ ...small, theme: { ...small.theme, colours } }, compileShow(small))).toEqual(['look:of-colour', 'chase:of-both']);
  });
});

describe('a heavy show', () => {
  it('is made ready in a moment: eighty lamps of eight emitters, each trimmed in its own way, in a hundred colours to be matched', () => {
    // Colours beyond what the lamps can mix, asked of each kind of lamp: this took a quarter of a minute. Machines that do other things besides are slow.
    const names = ['R', 'G', 'B', 'W', 'RY', 'GY', 'BM', 'WW'].map((name) => `ColorAdd_${name}` as 'ColorAdd_R');
    const pale = (i: number) => ({ x: 0.33 + 0.05 * Math.sin(i), y: 0.33 + 0.05 * Math.cos(i), flux: 100 + i });
    const channels = names.map((attribute, i) => ({ slot: i + 1, functions: [{ attribute }] }));
    const heavy = tinyShow({
      fixtureTypes: [
        {
          id: 'eight',
          name: 'Eight',
          emitters: Object.fromEntries(names.map((name, i) => [name, pale(i)])),
          modes: [{ id: 'm', name: 'M', channels }],
        },
      ],
      fixtures: Array.from({ length: 80 }, (_, i) => ({
        ...place(`lamp-${i}`, 'eight', 'm', 1 + 8 * (i % 64), 1 + Math.floor(i / 64)),
        trim: { ColorAdd_R: 0.5 + i / 200 },
      })),
      looks: [
        {
          id: 'look',
          parts: Array.from({ length: 100 }, (_, i) => ({
            who: everybody,
            colour: `#ff${(2 * i).toString(16).padStart(2, '0')}00`,
            brightness: 'match' as const,
          })),
        },
      ],
    });
    const begun = performance.now();
    compileShow(heavy);
    expect(performance.now() - begun).toBeLessThan(8000);
  });
});
