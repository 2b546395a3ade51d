import { labels } from '../core/attribute-labels.ts';
import { type AttributeName, attribute, type EmitterName } from '../core/attributes.ts';
import { emptySet, membersOf, unite } from '../playback/bit-set.ts';
import { buttonNotes, type CompiledShow, groupOfUse, type Item } from '../playback/compile.ts';
import { GUESSED } from '../playback/parts.ts';
import type { Adjustments } from '../rig/adjustments.ts';
import type { Channel, ChannelFunction, FixtureType } from '../rig/fixture-type.ts';
import { isDriven, NEEDS_OWN_STOP } from '../rig/laser.ts';
import { type Rig, type RigFixture, stretchesOf } from '../rig/rig.ts';
import { factsOf } from '../rig/type-facts.ts';
import { type Button, type ItemKey, type ItemRef, itemKey, type Moment, type Show } from '../show/document.ts';
import { bandOf } from '../show/surfaces.ts';
import { ButtonFrames } from './button-frames.ts';
import type { ButtonSummary, ChannelSummary, FixtureSummary, MomentSummary, ShowSummary } from './contract.ts';
import { nameOfUse, themeOf } from './show-words.ts';

export function summaryOf(compiled: CompiledShow): ShowSummary {
  const { show, rig } = compiled;
  const frames = new ButtonFrames(compiled);
  return {
    id: show.id,
    name: show.name,
    demo: show.demo,
    buttons: show.buttons.map((button) => buttonSummary(compiled, frames, button)),
    moments: show.moments.map((moment) => momentSummary(compiled, moment)),
    groups: show.groups.map(({ id, name }) => ({ id, name })),
    theme: themeOf(show),
    uses: [...new Set(show.fixtures.map(({ use }) => use))].map((use) => ({
      id: groupOfUse(use),
      use,
      name: nameOfUse(use, show),
      band: bandOf(use),
    })),
    fixtures: rig.fixtures.map((fixture, i) => fixtureSummary(fixture, show.fixtures[i])),
    types: typesOf(rig),
  };
}

function momentSummary({ items }: CompiledShow, { id, name, buttons, starts, stops, alone, notes }: Moment): MomentSummary {
  const names = (refs: readonly ItemRef[]): string[] => refs.flatMap((ref) => items.get(itemKey(ref))?.name ?? []);
  return {
    id,
    name,
    buttons,
    starts: names(starts),
    stops: names(stops),
    ...(alone === true && { alone }),
    ...(notes === undefined ? {} : { notes }),
  };
}

function typesOf({ fixtures }: Rig): ShowSummary['types'] {
  const counts = new Map<FixtureType, number>();
  for (const { type } of fixtures) counts.set(type, (counts.get(type) ?? 0) + 1);
  return [...counts]
    .map(([type, count]) => ({ name: type.name, count, facts: factsOf(type) }))
    .filter(({ facts }) => facts.length > 0);
}

function buttonSummary(compiled: CompiledShow, frames: ButtonFrames, button: Button): ButtonSummary {
  const keyed = button.starts.flatMap((ref) => {
    const item = compiled.items.get(itemKey(ref));
    return item === undefined ? [] : [[itemKey(ref), item] as const];
  });
  const items = keyed.map(([, item]) => item);
  const longest = Math.min(...items.map((item) => item.longest ?? Number.POSITIVE_INFINITY));
  const touched = emptySet(compiled.rig.fixtures.length);
  for (const { fixtures } of items) unite(touched, fixtures);
  const notes = buttonNotes(compiled, button.id);
  const uses = new Set(Array.from(membersOf(touched), (place) => compiled.show.fixtures[place]?.use ?? 'uplight'));
  return {
    id: button.id,
    name: button.name,
    line: button.line,
    notes: notes.filter((note) => note !== GUESSED),
    ...(notes.includes(GUESSED) ? { guessed: true as const } : {}),
    kind: items.some(({ kind }) => kind === 'hit') ? 'hold' : 'press',
    uses: [...uses],
    frames: frames.of(keyed, touched),
    ...(asksForHaze(compiled, keyed) ? { haze: true as const } : {}),
    ...(Number.isFinite(longest) ? { longest: longest / 1000 } : {}),
  };
}

/** Whether any of it puts haze or fog into the air, at any moment. */
const asksForHaze = ({ rig }: CompiledShow, items: readonly (readonly [ItemKey, Item])[]): boolean =>
  items.some(
    ([, { program }]) =>
      'values' in program &&
      program.cells.some(
        (cell, i) => attribute(rig.attributeOf[cell] ?? 'NoFeature').hazes === true && (program.values[i] ?? 0) > 0,
      ),
  );

function fixtureSummary(fixture: RigFixture, patched: Show['fixtures'][number] | undefined): FixtureSummary {
  const { id, type, mode, universe, address, adjust, lamps } = fixture;
  const use = patched?.use ?? 'uplight';
  const [first, ...others] = stretchesOf(fixture).filter(({ size }) => size > 0);
  const channelsAt = (start: { readonly break: number; readonly address: number }): ChannelSummary[] =>
    mode.channels
      .filter((channel) => (channel.break ?? 1) === start.break)
      .flatMap((channel) => channelSummaries(channel, start.address, type.wheels))
      .sort((a, b) => a.slot - b.slot);
  const adjusted = [...(isDriven(fixture) ? [] : [NEEDS_OWN_STOP]), ...adjustedInWords(adjust, labels)];
  return {
    id,
    name: patched?.name ?? id,
    use,
    band: bandOf(use),
    typeName: type.name,
    modeName: mode.name,
    universe,
    address,
    ...(lamps[0].cells.has('Pan') && lamps[0].cells.has('Tilt') ? { head: true as const } : {}),
    ...(adjusted.length === 0 ? {} : { adjusted }),
    channels: first === undefined ? [] : channelsAt(first),
    ...(others.length === 0
      ? {}
      : { further: others.map((start) => ({ universe: start.universe, address: start.address, channels: channelsAt(start) })) }),
  };
}

function channelSummaries(
  { slot, fine, ultra, part, functions }: Channel,
  address: number,
  wheels: FixtureType['wheels'],
): ChannelSummary[] {
  const attributeName = functions.find((one) => one.attribute !== 'NoFeature')?.attribute ?? 'NoFeature';
  const label = `${labels[attributeName]}${part === undefined ? '' : ` ${part}`}`;
  // What a hand sees is the high byte.
  const byte = (value: number): number => (ultra !== undefined ? value >> 16 : fine !== undefined ? value >> 8 : value);
  const ranges = functions.flatMap((one) =>
    rangesOf(one).map(({ from, to, ...rest }) => ({ from: byte(from), to: byte(to), ...rest })),
  );
  const places = wheels[attributeName as keyof typeof wheels]?.map(({ name }) => name);
  const lower = [fine, ultra].filter((one) => one !== undefined);
  return [
    { slot: address + slot - 1, attribute: attributeName, label, ranges, ...(places === undefined ? {} : { places }) },
    ...lower.map((one) => ({ slot: address + one - 1, attribute: attributeName, label: `${label}, fine`, ranges: [] })),
  ];
}

/** One range of what runs through; of what is in or out by steps one for each. */
function rangesOf(of: ChannelFunction): ChannelSummary['ranges'] {
  const {
    attribute: name,
    from,
    to,
    physical: [low, high],
    stretches,
  } = of;
  const unit = unitOf(name);
  return (
    stretches?.map((one) => ({ from: one.from, to: one.to, low: one.slot, high: one.slot, unit })) ?? [
      { from, to, low, high, unit },
    ]
  );
}

/** `off` for a stretch that does nothing. */
const unitOf = (name: AttributeName): string => (name === 'NoFeature' ? 'off' : attribute(name).unit);

const degrees = (angle: number): string => `${angle < 0 ? '−' : ''}${Math.abs(angle)}°`;
const percent = (share: number): string => `${Math.round(share * 100)} %`;

const dimsAs = (dimming: NonNullable<Adjustments['dimming']>): string =>
  dimming === 'linear' ? 'as' : dimming === 'square' ? 'by the square of' : dimming === 's' ? 'by an S over' : 'as measured over';

/** What the patch changes of one lamp, in words: whoever sets it up must not set the same in its own menu again. */
export function adjustedInWords(
  { invert, swapPanTilt, limits, trim, dim, strength, dimming }: Adjustments,
  labels: Readonly<Record<EmitterName, string>>,
): string[] {
  const axes = ['pan', 'tilt'] as const;
  const trimmed = Object.entries(trim ?? {}) as [EmitterName, number][];
  return [
    ...axes.filter((axis) => invert?.[axis] === true).map((axis) => `${axis} inverted`),
    ...(swapPanTilt === true ? ['pan and tilt swapped'] : []),
    ...axes.flatMap((axis) => {
      const range = limits?.[axis];
      return range === undefined ? [] : [`${axis} kept within ${degrees(range[0])} to ${degrees(range[1])}`];
    }),
    ...trimmed.map(([name, share]) => `${labels[name].toLowerCase()} trimmed to ${percent(share)}`),
    ...(dim === undefined ? [] : [`${percent(dim)} of its light at most`]),
    ...(strength === undefined ? [] : [`${percent(strength)} as bright as its kind`]),
    ...(dimming === undefined ? [] : [`light ${dimsAs(dimming)} its dimmer`]),
  ];
}
