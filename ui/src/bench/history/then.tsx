import type { ComponentChildren } from 'preact';
import { counted } from '../../../../node/core/words.ts';
import type { Part, Show } from '../../../../node/show/document.ts';
import { as } from '../../parts/spoken.tsx';
import { doesInWords, momentInWords } from '../evening/evening-words.ts';
import { Strips } from '../parts/part-sheet.tsx';
import { partInWords } from '../parts/part-words.ts';
import { cssOf, useInWords, whoInWords } from '../written.ts';

/** All of a show, to be looked at: its colours, what plays and how, and what starts it. */
export function Then({ show }: { readonly show: Show }) {
  const { theme, looks, chases, movements, hits, buttons, moments, fixtures } = show;
  const uses = [...new Set(fixtures.map(({ use }) => use))];
  return (
    <>
      <List name={`Its ${counted(theme.colours.length, 'colour')}`} things={theme.colours}>
        {({ name, value }) => (
          <p class="then-row">
            <i class="then-swatch" style={{ background: cssOf(value, []) ?? 'none' }} aria-hidden="true" />
            <span>
              <strong>{name}</strong> <span class="quiet">{value}</span>
            </span>
          </p>
        )}
      </List>
      <List name={`Its ${counted(looks.length, 'look')}`} things={looks}>
        {({ name, parts }) => <Parts name={name} parts={parts} show={show} />}
      </List>
      <List name={`Its ${counted(chases.length, 'chase')}`} things={chases}>
        {({ name, steps }) => (
          <Parts name={`${name}, ${counted(steps.length, 'step')}`} parts={steps.flatMap(({ parts }) => parts)} show={show} />
        )}
      </List>
      <List name={`Its ${counted(movements.length, 'movement')}`} things={movements}>
        {({ name, who }) => (
          <p>
            <strong>{name}</strong> <span class="quiet">{whoInWords(who, show)}</span>
          </p>
        )}
      </List>
      <List name={`Its ${counted(hits.length, 'hit')}`} things={hits}>
        {({ name, parts }) => <Parts name={name} parts={parts} show={show} />}
      </List>
      <List name={`Its ${counted(buttons.length, 'button')}`} things={buttons}>
        {(button) => (
          <p>
            <strong>{button.name}</strong> <span class="quiet">{button.line || doesInWords(button, show)}</span>
          </p>
        )}
      </List>
      <List name={`Its ${counted(moments.length, 'moment')}`} things={moments}>
        {(moment) => (
          <p>
            <strong>{moment.name}</strong> <span class="quiet">{momentInWords(moment, show)}</span>
          </p>
        )}
      </List>
      <List name={`Its ${counted(fixtures.length, 'light')}`} things={uses.map((id) => ({ id }))}>
        {({ id }) => {
          const own = fixtures.filter(({ use }) => use === id);
          return (
            <p>
              <strong>{useInWords(id)}</strong> <span class="quiet">{own.map(({ name }) => name).join(', ')}</span>
            </p>
          );
        }}
      </List>
    </>
  );
}

interface ListProps<One> {
  readonly name: string;
  readonly things: readonly One[];
  readonly children: (one: One) => ComponentChildren;
}

/** Nothing where there was none. */
function List<One extends { readonly id: string }>({ name, things, children }: ListProps<One>) {
  if (things.length === 0) return null;
  return (
    <details class="then-list">
      <summary>{name}</summary>
      <ul {...as.list}>
        {things.map((one) => (
          <li key={one.id}>{children(one)}</li>
        ))}
      </ul>
    </details>
  );
}

interface PartsProps {
  readonly name: string;
  readonly parts: readonly Part[];
  readonly show: Show;
}

/** What lights do in a look, a hit or a chase, in words beside its colours. */
const Parts = ({ name, parts, show }: PartsProps) => (
  <div class="then-row">
    <Strips parts={parts} show={show} />
    <div>
      <strong>{name}</strong>
      {parts.slice(0, MOST_PARTS).map((part, i) => (
        <p key={i} class="quiet">
          {whoInWords(part.who, show)}: {partInWords(part, show)}
        </p>
      ))}
      {parts.length > MOST_PARTS && <p class="quiet">and {counted(parts.length - MOST_PARTS, 'part')} more</p>}
    </div>
  </div>
);
const MOST_PARTS = 6;
