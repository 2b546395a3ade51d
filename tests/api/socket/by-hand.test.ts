import { expect, it } from 'vitest';
import { ByHand, type Hands } from '../../../node/api/socket/by-hand.ts';
import type { ByHand as Driven } from '../../../node/pipeline/by-hand.ts';
import { compileShow } from '../../../node/playback/compile.ts';
import { dimmer, tinyShow } from '../../helpers/tiny-show.ts';

const show = compileShow(tinyShow({ fixtures: [dimmer('lamp', 1)] }));
const hands = (name: string): Hands & { readonly lostTo: string[] } => {
  const lostTo: string[] = [];
  return { remote: { name }, lostTo, loseHands: (to) => lostTo.push(to) };
};

function begin() {
  const driven: Driven[] = [];
  return { driven, byHand: new ByHand({ byHand: (one) => driven.push(one) }, { show }) };
}

it('what is driven by hand goes to the engine; whoever comes later takes it, and the first is told by whom', () => {
  const { driven, byHand } = begin();
  const [mia, tom] = [hands('Mia'), hands('Tom')];
  byHand.take(mia, { identify: 'lamp' });
  byHand.take(tom, { slots: [{ universe: 1, slot: 512, value: 7 }] });
  byHand.take(mia, {});
  expect(driven).toEqual([{ slots: [], identify: 'lamp' }, { slots: [{ universe: 1, slot: 512, value: 7 }] }]);
  expect([mia.lostTo, tom.lostTo]).toEqual([['Tom'], []]);
  byHand.take(tom, {});
  expect(driven.at(-1)).toEqual({ slots: [] });
});

it('what the show does not have is refused by name, and takes nothing out of anybody’s hands', () => {
  const { driven, byHand } = begin();
  const mia = hands('Mia');
  byHand.take(mia, { identify: 'lamp' });
  for (const identify of ['__proto__', 'constructor', 'lamp 2'])
    expect(() => byHand.take(hands('Tom'), { identify })).toThrow(`The show has no fixture "${identify}"`);
  expect(() => byHand.take(hands('Tom'), { slots: [{ universe: 63_999, slot: 1, value: 7 }] })).toThrow(
    'The show does not send universe 63999; it sends 1',
  );
  expect([driven.length, mia.lostTo]).toEqual([1, []]);
});
