import './places.css';
import type { Landmark } from '../../../../node/show/document.ts';
import { writeMetres } from '../amounts.ts';
import type { PageProps } from '../page.ts';
import { add } from '../things/acts.ts';
import { ThingsPage } from '../things/things.tsx';
import { PlaceSheet } from './place.tsx';
import { Axes } from './point-fields.tsx';
import { TopView } from './top-view.tsx';

/** Named places of the room, or the one that is open. */
export const PlacesPage = ({ show, open }: PageProps) => (
  <ThingsPage
    show={show}
    kind="landmark"
    things={show.landmarks}
    one="place"
    all="places"
    empty="There is none yet. A place is a point or an area of the room that heads can look at: the cake, the dance floor, the door."
    after={placeInWords}
    onNew={() => void add(show, 'landmark', 'New place', { x: 0, y: 0, z: 0 })}
    open={open}
    sheet={(place) => <PlaceSheet place={place} show={show} />}
    above={
      <>
        {show.landmarks.length > 0 && <Axes />}
        <TopView show={show} />
      </>
    }
  />
);

/** `x 3 m, y 4.5 m, z 1 m; 4 m by 3 m; nobody is there`. */
function placeInWords({ x, y, z, area, people }: Landmark): string {
  const there =
    area === undefined || people === undefined
      ? undefined
      : people === 'none'
        ? 'nobody is there'
        : `eyes from ${writeMetres(people.from)} to ${writeMetres(people.to)}`;
  return [
    `x ${writeMetres(x)}, y ${writeMetres(y)}, z ${writeMetres(z)}`,
    area === undefined ? undefined : `${writeMetres(area.width)} by ${writeMetres(area.depth)}`,
    there,
  ]
    .filter((one) => one !== undefined)
    .join('; ');
}
