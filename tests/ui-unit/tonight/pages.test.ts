import { describe, expect, it } from 'vitest';
import type { ButtonSummary } from '../../../node/api/contract.ts';
import { pagesOf, placeOf } from '../../../ui/src/tonight/pages.ts';

const button = (id: string, ...uses: string[]): ButtonSummary => ({
  id,
  name: id,
  line: '',
  kind: 'press',
  notes: [],
  frames: [],
  uses,
});
/** A moment with which nothing begins or goes. */
const bare = { starts: [], stops: [] };
const names = (pages: ReturnType<typeof pagesOf>) => pages.map(({ name, buttons }) => [name, buttons.map(({ id }) => id)]);

describe('pages of Tonight', () => {
  const buttons = [button('walls', 'uplight'), button('beams', 'beam'), button('all', 'uplight', 'beam'), button('none')];

  it('count the moments of the evening, and not the page to find a button', () => {
    const many = Array.from({ length: 12 }, (_, i) => button(`b${i}`));
    const moments = [
      { id: 'dinner', name: 'Dinner', buttons: many.slice(0, 6).map(({ id }) => id), ...bare },
      { id: 'dance', name: 'Dancing', buttons: many.slice(6).map(({ id }) => id), ...bare },
    ];
    const pages = pagesOf({ buttons: many }, moments);
    expect(pages.map(({ name }, i) => [name, placeOf(pages, i)])).toEqual([
      ['Dinner', '1 of 2'],
      ['Dancing', '2 of 2'],
      ['Find a button', ''],
    ]);
  });

  it('are the moments in their order, then what is in none of them', () => {
    const moments = [
      { id: 'dinner', name: 'Dinner', buttons: ['all', 'walls'], ...bare },
      { id: 'dance', name: 'Dancing', buttons: ['beams', 'walls'], ...bare },
    ];
    expect(names(pagesOf({ buttons }, moments))).toEqual([
      ['Dinner', ['all', 'walls']],
      ['Dancing', ['beams', 'walls']],
      ['Any time', ['none']],
    ]);
  });

  it('are one where a show has no moments and few buttons', () => {
    expect(names(pagesOf({ buttons }, []))).toEqual([['Buttons', ['walls', 'beams', 'all', 'none']]]);
  });

  it('are the uses where it has no moments and many, with each button once: what lights several of them lights the room', () => {
    const more = Array.from({ length: 8 }, (_, i) => button(`walls-${i}`, 'uplight'));
    const [room, uplight, ...others] = names(pagesOf({ buttons: [...buttons, ...more] }, []));
    expect(room).toEqual(['The room', ['all']]);
    expect(uplight).toEqual(['Uplight', ['walls', ...more.map(({ id }) => id)]]);
    expect(others.map(([name]) => name)).toEqual(['Beam', 'Any time', 'Find a button']);
  });

  it('leave out moments without a button and buttons that are gone', () => {
    const moments = [
      { id: 'empty', name: 'Empty', buttons: [], ...bare },
      { id: 'dinner', name: 'Dinner', buttons: ['walls', 'gone'], ...bare },
    ];
    expect(names(pagesOf({ buttons: [button('walls')] }, moments))).toEqual([['Dinner', ['walls']]]);
  });

  it('are one page where nothing is known of the buttons, and none without buttons', () => {
    expect(names(pagesOf({ buttons: [button('a'), button('b')] }, []))).toEqual([['Buttons', ['a', 'b']]]);
    expect(pagesOf({ buttons: [] }, [])).toEqual([]);
  });
});
