import { describe, expect, it } from 'vitest';
import type { ItemRef } from '../../../node/show/document.ts';
import { beginsInWords, doesInWords, momentInWords, proposedLine } from '../../../ui/src/bench/evening/evening-words.ts';
import { demoNames, demoShow } from '../../show/demo-show.ts';
import { hall } from './hall.ts';

const show = hall();
const line = (...starts: ItemRef[]) => proposedLine({ starts }, show);

describe('The line that is proposed for a button', () => {
  it('says which lights, in which colours, and what they do', () => {
    expect(line({ look: 'dinner' })).toBe('Uplights rose and sage, low');
    expect(line({ look: 'dinner' }, { movement: 'round' })).toBe('Uplights rose and sage, low; spots circling');
    expect(line({ chase: 'run' })).toBe('Left side changing; Right side changing');
    expect(line({ hit: 'flash' })).toBe('All lights');
  });

  it('calls a colour that is none of the client’s by a plain name, and leaves out what only goes dark', () => {
    const own = hall({
      looks: [
        {
          id: 'warm',
          name: 'Warm',
          parts: [
            { who: [{ all: true }], level: 0 },
            { who: [{ fixture: 'par-1' }], level: 1, colour: '2700 K', strobe: 0 },
            { who: [{ use: 'spot' }], level: 1, strobe: 3 },
          ],
        },
      ],
    });
    expect(proposedLine({ starts: [{ look: 'warm' }] }, own)).toBe('Par 1 warm white; spots flashing');
  });

  it('is empty where nothing is started, and where what is started is gone', () => {
    expect(line()).toBe('');
    expect(line({ look: 'gone' }, { movement: 'gone' })).toBe('');
  });

  it.each(demoNames)('fits under every button of %s', (name) => {
    const demo = demoShow(name);
    for (const button of demo.buttons) {
      const proposed = proposedLine(button, demo);
      expect(proposed.length).toBeGreaterThan(3);
      expect(proposed.length).toBeLessThanOrEqual(120);
      expect(proposed).not.toMatch(/theme:|undefined|gone/);
    }
  });
});

describe('A moment in words', () => {
  const of = (starts: ItemRef[], stops: ItemRef[], at?: string) =>
    momentInWords({ starts, stops, buttons: ['a', 'b'], ...(at === undefined ? {} : { at }) }, show);

  it('says when it is due, what begins with it and what goes', () => {
    expect(beginsInWords({ starts: [{ look: 'dinner' }], stops: [{ chase: 'run' }] }, show)).toBe(
      'Begins with Dinner; lets go of Run.',
    );
    expect(beginsInWords({ starts: [], stops: [] }, show)).toBe('Nothing begins or goes with it.');
    expect(of([], [])).toBe('2 buttons');
    expect(of([{ look: 'dinner' }], [], '21:30')).toMatch(/^(9:30.PM|21:30), 2 buttons; begins with Dinner$/);
    expect(of([], [{ chase: 'run' }])).toBe('2 buttons; lets go of Run');
  });
});

describe('What a button does, in words', () => {
  const does = (starts: ItemRef[], stops: ItemRef[], alone: boolean) => doesInWords({ starts, stops, alone }, show);

  it('names what starts and what goes', () => {
    expect(does([{ look: 'dinner' }], [], true)).toBe('Starts Dinner; lets go of whatever else plays on the uplights.');
    expect(does([{ look: 'dinner' }, { movement: 'round' }], [{ chase: 'run' }], false)).toBe(
      'Starts Dinner and Round; lets go of Run.',
    );
    expect(does([{ look: 'dinner' }], [{ chase: 'run' }], true)).toBe(
      'Starts Dinner; lets go of Run and whatever else plays on the uplights.',
    );
    expect(does([{ hit: 'flash' }], [], false)).toBe('Plays Flash while it is held.');
    expect(does([], [{ look: 'gone' }], true)).toBe('Starts nothing yet; lets go of gone, which is gone.');
  });
});
