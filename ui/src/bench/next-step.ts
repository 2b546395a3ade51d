import type { Show } from '../../../node/show/document.ts';

/** What a show that is being made needs next, and the page of the bench where it is made. */
export interface NextStep {
  readonly page: 'lights' | 'colours' | 'looks' | 'evening';
  readonly why: string;
  readonly name: string;
}

/** In the order in which a show is made; undefined where it can be played from Tonight, and whatever comes next is a matter of taste. */
export function nextStepOf({
  fixtures,
  theme,
  looks,
  buttons,
}: Pick<Show, 'fixtures' | 'theme' | 'looks' | 'buttons'>): NextStep | undefined {
  if (fixtures.length === 0)
    return { page: 'lights', why: 'There is nothing in this show yet, so nothing plays.', name: 'Next: say which lights you have' };
  if (theme.colours.length === 0 && looks.length === 0)
    return {
      page: 'colours',
      why: 'The lights are there. Looks are made of the client’s colours.',
      name: 'Next: the client’s colours',
    };
  if (looks.length === 0) return { page: 'looks', why: 'Lights and colours are there.', name: 'Next: make a look' };
  if (buttons.length === 0)
    return { page: 'evening', why: 'Nothing on Tonight starts what is made yet.', name: 'Next: make a button' };
  return undefined;
}
