import { chooseSite, selectedSite, sites } from '../session';
import { words } from '../words';

/** Which site all pages are about. One site is a name; several are a choice. */
export function SiteChooser() {
  const { common } = words.value;
  const chosen = selectedSite.value;
  if (!chosen) return <span class="site-name quiet">{common.noSite}</span>;
  if (sites.value.length === 1) return <span class="site-name">{chosen.name}</span>;
  return (
    <label class="site-chooser">
      <span class="aside-only">{common.site}</span>
      <select value={chosen.id} onChange={(event) => chooseSite(event.currentTarget.value)}>
        {sites.value.map((site) => (
          <option key={site.id} value={site.id}>
            {site.name}
          </option>
        ))}
      </select>
    </label>
  );
}
