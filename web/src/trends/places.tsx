import { Link, useRoute, withQuery } from '../router';
import { words } from '../words';
import { narrowingOf, type Narrowing } from './state';

/** The pages of Trends, each narrowed as this one is. */
export function Places({ narrowing }: { narrowing: Narrowing }) {
  const { path } = useRoute();
  const { places } = words.value.trends;
  return (
    <nav class="trends-places" aria-label={places.label}>
      <ul>
        {(['/trends', '/trends/arrivals', '/trends/map'] as const).map((to) => (
          <li key={to}>
            <Link to={withQuery(to, narrowingOf(narrowing))} aria-current={path === to ? 'page' : undefined}>
              {places[to]}
            </Link>
          </li>
        ))}
      </ul>
    </nav>
  );
}
