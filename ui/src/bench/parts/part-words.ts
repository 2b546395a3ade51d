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
  const { level, brightness, aim, gobo, zoom, uv, strobe, haze, fan, attributes } = part;
  const colours = coloursOf(part);
  const words = [
    level === undefined ? undefined : level === 0 ? 'dark' : writeLevel(level),
    colours.length === 0 ? undefined : listed(colours.map((value) => colourInWords(value, show))),
    colours.length > 0 && brightness === 'match' ? 'matched' : undefined,
    aim && aimInWords(aim, show),
    gobo && `gobo ${goboInWords(part, gobo, show)}`,
    zoom === undefined ? undefined : `zoom ${writeDegrees(zoom)}`,
    uv === undefined ? undefined : `UV ${writeShare(uv)}`,
    strobe === undefined ? undefined : strobe === 0 ? 'no strobe' : `strobe ${writeHertz(strobe)}`,
    haze === undefined ? undefined : `haze ${writeShare(haze)}`,
    fan === undefined ? undefined : `fan ${writeShare(fan)}`,
    ...Object.keys(attributes ?? {}).map((name) => labelOf(name as Parameters<typeof labelOf>[0]).toLowerCase()),
  ].filter((one) => one !== undefined);
  return words.length === 0 ? 'nothing of its own yet' : words.join(', ');
}

function aimInWords(aim: Aim, { landmarks }: Pick<Show, 'landmarks'>): string {
  if ('pan' in aim) return `pan ${writeDegrees(aim.pan)}, tilt ${writeDegrees(aim.tilt)}`;
  if ('point' in aim) return 'at a point of the room';
  return `at ${landmarks.find(({ id }) => id === aim.landmark)?.name ?? `${aim.landmark}, which is gone`}`;
}

/** What is in at a place of the gobo wheel, where the types of its lights name it. */
const goboInWords = ({ who }: Part, gobo: number, show: Show): string =>
  (
    abilitiesOf(who, show)
      .slots('Gobo1')
      .find(({ slot }) => slot === gobo)?.name ?? String(gobo)
  ).toLowerCase();

/** Whether it makes any light flash by itself. */
export const strobes = ({ strobe }: Part): boolean => (strobe ?? 0) > 0;
