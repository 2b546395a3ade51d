import { attribute, type DirectName } from '../../../../node/core/attributes.ts';
import { listed } from '../../../../node/core/words.ts';
import type { Aim, Part, Show } from '../../../../node/show/document.ts';
import { writeDegrees, writeHertz, writeLevel, writeShare } from '../amounts.ts';
import { abilitiesOf, labelOf } from './abilities.ts';

/** A colour as a person calls it: the client's by its name, else as it is written. */
export function colourInWords(value: string, { theme }: Pick<Show, 'theme'>): string {
  const id = /^theme:(.*)$/.exec(value)?.[1];
  return id === undefined ? value : (theme.colours.find((one) => one.id === id)?.name ?? `${id}, which is gone`);
}

export const coloursOf = ({ colour }: Part): readonly string[] => (colour === undefined ? [] : [colour].flat());

/** What a part makes its lights do, in few words; what it does not name is left to what plays below. */
export function partInWords(part: Part, show: Show): string {
  const { level, brightness, aim, focus, gobo, zoom, uv, strobe, haze, fan, attributes } = part;
  const colours = coloursOf(part);
  const words = [
    level === undefined ? undefined : level === 0 ? 'dark' : writeLevel(level),
    colours.length === 0 ? undefined : listed(colours.map((value) => colourInWords(value, show))),
    colours.length > 0 && brightness === 'match' ? 'matched' : undefined,
    aim && aimInWords(aim, show),
    aim && focus === true ? 'meant to rest there' : undefined,
    gobo && `gobo ${slotInWords(part, 'Gobo1', gobo, show)}`,
    zoom === undefined ? undefined : `zoom ${writeDegrees(zoom)}`,
    uv === undefined ? undefined : `UV ${writeShare(uv)}`,
    strobe === undefined ? undefined : strobe === 0 ? 'no strobe' : `strobe ${writeHertz(strobe)}`,
    haze === undefined ? undefined : `haze ${writeShare(haze)}`,
    fan === undefined ? undefined : `fan ${writeShare(fan)}`,
    ...Object.entries(attributes ?? {}).map(
      ([name, value]) => `${labelOf(name as DirectName).toLowerCase()} ${valueInWords(part, name as DirectName, value, show)}`,
    ),
  ].filter((one) => one !== undefined);
  return words.length === 0 ? 'nothing of its own yet' : words.join(', ');
}

function aimInWords(aim: Aim, { landmarks }: Pick<Show, 'landmarks'>): string {
  if ('pan' in aim) return `pan ${writeDegrees(aim.pan)}, tilt ${writeDegrees(aim.tilt)}`;
  if ('point' in aim) return 'at a point of the room';
  return `at ${landmarks.find(({ id }) => id === aim.landmark)?.name ?? `${aim.landmark}, which is gone`}`;
}

/** What is in at a place of a wheel, where the types of its lights name it. */
const slotInWords = ({ who }: Part, wheel: DirectName, place: number, show: Show): string =>
  (
    abilitiesOf(who, show)
      .slots(wheel)
      .find(({ slot }) => slot === place)?.name ?? String(place)
  ).toLowerCase();

function valueInWords(part: Part, name: DirectName, value: number, show: Show): string {
  switch (attribute(name).unit) {
    case 'slot':
      return slotInWords(part, name, value, show);
    case 'degrees':
      return writeDegrees(value);
    case 'hertz':
      return writeHertz(value);
    default:
      return writeShare(value);
  }
}

/** Whether it makes any light flash by itself. */
export const strobes = ({ strobe }: Part): boolean => (strobe ?? 0) > 0;
