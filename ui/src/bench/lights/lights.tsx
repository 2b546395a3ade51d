import './lights.css';
import { useLayoutEffect, useRef } from 'preact/hooks';
import type { Show } from '../../../../node/show/document.ts';
import { within } from '../../route.ts';
import type { PageProps } from '../page.ts';
import { AddLights } from './add.tsx';
import { Chosen } from './chosen.tsx';
import { GroupSheet } from './group.tsx';
import { LightSheet } from './light.tsx';
import { LightList } from './list.tsx';
import { lightsAt } from './place.ts';
import { TypeSheet } from './type.tsx';

/** How far the list was scrolled. */
let left = 0;

/** The rig: which lights there are, what each is for and where it stands. */
export function LightsPage({ show, open }: PageProps) {
  const top = useRef<HTMLDivElement>(null);
  const [, , id = ''] = within.value;
  // Each place begins at its top; the list is found again where it was left.
  useLayoutEffect(() => {
    const page = top.current?.closest('.bench-page');
    if (!page) return;
    page.scrollTo(0, open === undefined ? left : 0);
    if (open !== undefined) return;
    const scrolled = (): void => {
      left = page.scrollTop;
    };
    page.addEventListener('scroll', scrolled);
    return () => page.removeEventListener('scroll', scrolled);
  }, [open, id]);
  return (
    <div ref={top} class="lights">
      <Place show={show} open={open} id={id} />
    </div>
  );
}

function Place({ show, open, id }: { readonly show: Show; readonly open: string | undefined; readonly id: string }) {
  switch (open) {
    case undefined:
      return <LightList show={show} />;
    case 'add':
      return <AddLights show={show} />;
    case 'chosen':
      return <Chosen show={show} />;
    case 'light': {
      const light = show.fixtures.find((one) => one.id === id);
      return light === undefined ? <Gone what="light" /> : <LightSheet key={id} light={light} show={show} />;
    }
    case 'group': {
      const group = show.groups.find((one) => one.id === id);
      return group === undefined ? <Gone what="group" /> : <GroupSheet key={id} group={group} show={show} />;
    }
    case 'type': {
      const type = show.fixtureTypes.find((one) => one.id === id);
      return type === undefined ? <Gone what="kind of lamp" /> : <TypeSheet key={id} type={type} show={show} />;
    }
    default:
      return <Gone what="page" />;
  }
}

const Gone = ({ what }: { readonly what: string }) => (
  <section>
    <h1 class="bench-title">There is no such {what} any more</h1>
    <a class="push" href={lightsAt()}>
      All lights
    </a>
  </section>
);
