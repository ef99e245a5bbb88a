import { useEffect } from 'preact/hooks';

import { fetchAll } from '../api';
import type { Cultivar, Lot } from '../contract.gen';
import { Busy, ButtonLink, Empty, Loaded, Page, Section, useLoad } from '../parts';
import { go, Link } from '../router';
import { format, words } from '../words';
import { latestFirst, lotsByCode } from './by-code';
import { gtin14 } from './gtin';

interface Found {
  lots: Lot[];
  cultivars: Cultivar[];
}

/** The server does not look lots up by code, so the lists of the seasons are read, one season after the other, until one has it. */
async function fetchLots(gtin: string, code: string, signal: AbortSignal): Promise<Found> {
  const [seasons, cultivars] = await Promise.all([fetchAll('seasons', {}, signal), fetchAll('cultivars', {}, signal)]);
  for (const season of latestFirst(seasons)) {
    const lots = lotsByCode(await fetchAll('lots', { season_id: season.id }, signal), cultivars, gtin, code);
    if (lots.length > 0) return { lots, cultivars };
  }
  return { lots: [], cultivars };
}

function Arrived({ id }: { id: string }) {
  useEffect(() => go(`/dock/lots/${id}`, { replace: true }), [id]);
  return <Busy />;
}

function Which({ found: { lots, cultivars }, code }: { found: Found; code: string }) {
  const { labels, common } = words.value;
  const [only, ...others] = lots;
  if (!only) {
    return (
      <Empty title={labels.notFoundTitle(code)} action={<ButtonLink to="/dock">{labels.toDock}</ButtonLink>}>
        <p>{labels.notFound}</p>
      </Empty>
    );
  }
  if (others.length === 0) return <Arrived id={only.id} />;
  const cultivarOf = (lot: Lot): string => cultivars.find(({ id }) => id === lot.cultivar_id)?.name ?? common.unknown;
  return (
    <Section title={labels.several}>
      <ul class="label-links">
        {lots.map((lot) => (
          <li key={lot.id}>
            <Link to={`/dock/lots/${lot.id}`}>{labels.lotOf(code, cultivarOf(lot), format.value.fullDate(lot.arrived_on))}</Link>
          </li>
        ))}
      </ul>
    </Section>
  );
}

function LookUp({ gtin, code }: { gtin: string; code: string }) {
  const load = useLoad((signal) => fetchLots(gtin, code, signal), [gtin, code]);
  return <Loaded of={load}>{(found) => <Which found={found} code={code} />}</Loaded>;
}

/** Opens the lot that a trade item number and a lot's code name, as scanned from a label. */
export function TradeItem({ gtin, code }: { gtin: string; code: string }) {
  const { labels } = words.value;
  const whole = gtin14(gtin);
  return (
    <Page title={labels.scanned}>
      {whole === null ? (
        <Empty title={labels.badGtinTitle} action={<ButtonLink to="/dock">{labels.toDock}</ButtonLink>}>
          <p>{labels.badGtin}</p>
        </Empty>
      ) : (
        <LookUp gtin={whole} code={code} />
      )}
    </Page>
  );
}
