import './lights.css';
import type { Show } from '../../../../node/show/document.ts';
import { within } from '../../route.ts';
import type { PageProps } from '../page.ts';
import { AddLights } from './add.tsx';
import { Chosen } from './chosen.tsx';
import { GroupSheet } from './group.tsx';
import { LightSheet } from './light.tsx';
import { LightList } from './list.tsx';
import { lightsAt } from './place.ts';
import { PointSheet } from './point.tsx';
import { TypeSheet } from './type.tsx';

/** The rig: which lights there are, what each is for and where it stands. */
export function LightsPage({ show, open }: PageProps) {
  const [, , id = ''] = within.value;
  return (
    <div class="lights">
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
    case 'point': {
      const light = show.fixtures.find((one) => one.id === id);
      return light === undefined ? <Gone what="light" /> : <PointSheet key={id} light={light} show={show} />;
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
