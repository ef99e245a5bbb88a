import { fetchAll } from '../api';
import { ButtonLink, Empty, Loaded, useLoad } from '../parts';
import { serverNow } from '../session';
import { format, words } from '../words';
import { holds } from './access';
import { milestoneText, season } from './kinds/season';
import { ReadOnly } from './read-only';
import { Records } from './record/records';

/** Seasons with their milestones, the latest first. */
export default function Seasons() {
  const { setup } = words.value;
  const f = format.value;
  const mayWrite = holds('owner');
  const load = useLoad(async (signal) => {
    const [seasons, crops] = await Promise.all([fetchAll('seasons', {}, signal), fetchAll('crops', {}, signal)]);
    return { seasons: seasons.toSorted((a, b) => b.starts_on.localeCompare(a.starts_on)), crops };
  }, []);
  return (
    <>
      <ReadOnly unless={mayWrite}>{setup.readOnly.seasons}</ReadOnly>
      <Loaded of={load}>
        {({ seasons, crops }) =>
          crops.length === 0 ? (
            <Empty title={setup.empty.cropTitle} action={<ButtonLink to="/setup/stock">{setup.area.stock}</ButtonLink>}>
              <p>{setup.empty.crop}</p>
            </Empty>
          ) : (
            <Records
              kind={season(crops)}
              rows={seasons}
              name={(one) => setup.seasonName(crops.find(({ id }) => id === one.crop_id)?.name ?? '', one.year)}
              note={(one) => (
                <>
                  <p>{setup.fromTo(f.fullDate(one.starts_on), f.fullDate(one.ends_on))}</p>
                  {one.milestones && one.milestones.length > 0 && <p>{one.milestones.map(milestoneText).join(' · ')}</p>}
                </>
              )}
              mayWrite={mayWrite}
              addLabel={setup.add.season}
              start={() => ({ year: serverNow().getFullYear(), milestones: [], ...(crops.length === 1 && { crop_id: crops[0]?.id ?? null }) })}
              onChange={load.reload}
              empty={
                <Empty title={setup.empty.seasonTitle}>
                  <p>{setup.empty.season}</p>
                </Empty>
              }
            />
          )
        }
      </Loaded>
    </>
  );
}
