import type { LastPicture } from './last-picture.ts';
import type { StoredShow } from './shows.ts';

/** Something that the disk does not tell any more, in the three parts in which trouble speaks. */
export interface Lost {
  readonly happened: string;
  readonly guestsSee: string;
  readonly todo: string;
}

export const inWords = ({ happened, guestsSee, todo }: Lost): string => `${happened} ${guestsSee} ${todo}`;

const AGAIN = 'Import the show again ("duskhand import FILE" on the node’s machine).';
const LOOK = 'Look at what is on, and press what should be.';
export const EVERYTHING: Lost = {
  happened: 'No show can be read any more.',
  guestsSee: 'Nothing is sent: guests see no show light.',
  todo: AGAIN,
};
export const allButThe = ({ blackout, witness }: LastPicture): Lost => ({
  happened:
    witness === undefined ? 'No show can be read any more.' : `"${witness.show.name}", which played last, cannot be read any more.`,
  guestsSee: blackout
    ? 'It is blacked out as before; when that ends, the lights repeat what they showed last, without haze and lasers.'
    : 'The lights repeat what they showed last, without haze and lasers.',
  todo: AGAIN,
});
/** @param isAfresh nothing that was on before goes on, either */
export const lastState = (isAfresh: boolean): Lost => ({
  happened: 'What was on last cannot be read.',
  guestsSee: isAfresh ? 'The show starts afresh.' : 'What was on before it plays.',
  todo: LOOK,
});
export const STORE: Lost = {
  happened: 'The store is damaged or gone.',
  guestsSee: 'What cannot be read of it comes from the copy of an earlier start, as far as there is one.',
  todo: 'Look at what is on; change the card after the event.',
};
export const onlyTheFile = ({ show }: StoredShow): Lost => ({
  happened: 'What played last is lost.',
  guestsSee: `"${show.name}" of the show file plays from its beginning.`,
  todo: LOOK,
});
/** The store is older than what was on. */
export function endOfStore({ show }: StoredShow, is: { damaged: boolean; afresh: boolean; older: boolean }): Lost {
  const plays = is.afresh ? `"${show.name}" starts afresh` : `What was on of "${show.name}" goes on`;
  return {
    happened: is.damaged ? 'The store is damaged or gone.' : 'The end of what was written down is lost.',
    guestsSee: is.older ? `${plays}, as an older revision of the show has it.` : `${plays}.`,
    todo: `${LOOK} Change the card after the event.`,
  };
}
export const STILL_DARK = 'It is blacked out, as before: end that on a phone, or with "duskhand blackout off".';
export const showFile = (why: string, plays: boolean): Lost => ({
  happened: `${why}.`,
  guestsSee: plays ? 'What played last plays instead.' : 'There is no other show to play instead.',
  todo: 'Mend the show file, and start the node again.',
});
export const newestRevision = ({ show, revision }: StoredShow): Lost => ({
  happened: `The newest revision of "${show.name}" cannot be read.`,
  guestsSee: `Revision ${revision} of it plays instead.`,
  todo: 'Look whether something is missing in it; importing it again brings that back.',
});
