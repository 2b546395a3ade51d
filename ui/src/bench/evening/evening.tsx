import type { ComponentChildren } from 'preact';
import type { Show } from '../../../../node/show/document.ts';
import type { PageProps } from '../page.ts';
import { add } from '../things/acts.ts';
import { Things } from '../things/things.tsx';
import { ButtonSheet } from './button.tsx';
import './evening.css';
import { doesInWords, momentInWords, proposedLine } from './evening-words.ts';
import { MomentSheet } from './moment.tsx';
import { PhonePicture } from './phone.tsx';

/** Buttons and moments of the evening, or the one that is open; beside it how they will look on a phone. */
export function EveningPage({ show, open = '' }: PageProps) {
  const [kind, id] = open.split(':');
  const button = kind === 'button' ? show.buttons.find((one) => one.id === id) : undefined;
  const moment = kind === 'moment' ? show.moments.find((one) => one.id === id) : undefined;
  if (button !== undefined)
    return (
      <WithPhone show={show} button={button.id}>
        <ButtonSheet key={button.id} button={button} show={show} />
      </WithPhone>
    );
  if (moment !== undefined)
    return (
      <WithPhone show={show} moment={moment.id}>
        <MomentSheet key={moment.id} moment={moment} show={show} />
      </WithPhone>
    );
  return (
    <WithPhone show={show}>
      <Evening show={show} />
    </WithPhone>
  );
}

interface WithPhoneProps {
  readonly show: Show;
  readonly button?: string;
  readonly moment?: string;
  readonly children: ComponentChildren;
}

const WithPhone = ({ children, ...shown }: WithPhoneProps) => (
  <div class="evening">
    <div class="evening-columns">
      <div>{children}</div>
      <PhonePicture {...shown} />
    </div>
  </div>
);

function Evening({ show }: { readonly show: Show }) {
  return (
    <section aria-labelledby="bench-evening">
      <h1 id="bench-evening" class="bench-title">
        Evening
      </h1>
      <h2>Buttons</h2>
      <Things
        show={show}
        kind="button"
        things={show.buttons}
        one="button"
        all="buttons"
        empty="There is none yet. A button on Tonight starts looks, chases and movements, and lets others go."
        after={(button) => button.line || doesInWords(button, show)}
        onNew={() => void newButton(show)}
      />
      <h2>Moments</h2>
      <p class="quiet">Parts of the evening, in their order: each is a page of buttons on Tonight.</p>
      <Things
        show={show}
        kind="moment"
        things={show.moments}
        one="moment"
        all="moments"
        empty="There is none yet: Tonight shows the buttons by what their lights are for."
        after={(moment) => momentInWords(moment, show)}
        onNew={() => void add(show, 'moment', 'New moment', {})}
      />
    </section>
  );
}

/** A new button starts a look that none starts yet, or the first there is: one that starts nothing keeps the show from being played. */
async function newButton(show: Show): Promise<void> {
  const started = new Set(show.buttons.flatMap(({ starts }) => starts.flatMap((ref) => ('look' in ref ? [ref.look] : []))));
  const look = show.looks.find(({ id }) => !started.has(id)) ?? show.looks[0];
  const taken = new Set(show.buttons.map(({ name }) => name.toLowerCase()));
  const asked = look === undefined ? 'New button' : look.name;
  let name = asked;
  // Two of one name no thumb could tell apart.
  for (let i = 2; taken.has(name.toLowerCase()); i++) name = `${asked.slice(0, 74)} ${i}`;
  const starts = look === undefined ? [] : [{ look: look.id }];
  await add(show, 'button', name, { starts, line: proposedLine({ starts }, show), alone: true });
}
