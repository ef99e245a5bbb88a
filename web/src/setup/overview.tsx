import { fetchPage } from '../api';
import { ButtonLink, Loaded, Section, useLoad } from '../parts';
import { Link } from '../router';
import { sites } from '../session';
import { words } from '../words';
import { nextStep, steps, type Step } from './steps';

/** The pages of the setup. */
export const areas = ['places', 'stock', 'seasons', 'limits', 'import', 'accounts', 'tokens'] as const;

export type Area = (typeof areas)[number];

const areaOf: Record<Step, Area> = {
  site: 'places',
  house: 'places',
  block: 'places',
  supplier: 'stock',
  crop: 'stock',
  cultivar: 'stock',
  season: 'seasons',
  limit: 'limits',
};

async function fetchDone(signal: AbortSignal): Promise<Record<Step, boolean>> {
  const one = { limit: 1 };
  const pages = await Promise.all([
    fetchPage('houses', one, signal),
    fetchPage('blocks', one, signal),
    fetchPage('suppliers', one, signal),
    fetchPage('crops', one, signal),
    fetchPage('cultivars', one, signal),
    fetchPage('seasons', one, signal),
    fetchPage('thresholds', one, signal),
  ]);
  const [house, block, supplier, crop, cultivar, season, limit] = pages.map((page) => page.items.length > 0);
  return {
    site: sites.value.length > 0,
    house: house ?? false,
    block: block ?? false,
    supplier: supplier ?? false,
    crop: crop ?? false,
    cultivar: cultivar ?? false,
    season: season ?? false,
    limit: limit ?? false,
  };
}

function Steps({ done }: { done: Record<Step, boolean> }) {
  const { setup } = words.value;
  const next = nextStep(done);
  if (next === null) return null;
  return (
    <Section title={setup.firstSteps} lead={setup.firstStepsLead}>
      <ol class="setup-steps">
        {steps.map((step) => (
          <li key={step} aria-current={step === next ? 'step' : undefined}>
            <span class="setup-step-mark" aria-hidden="true">
              {done[step] ? '✓' : '○'}
            </span>
            <span>
              {setup.step[step]} <span class="quiet">{done[step] ? setup.stepDone : setup.stepOpen}</span>
              {step === next && (
                <>
                  <br />
                  <ButtonLink to={`/setup/${areaOf[step]}`} kind="primary">
                    {setup.stepGo}
                  </ButtonLink>
                </>
              )}
            </span>
          </li>
        ))}
      </ol>
    </Section>
  );
}

/** What there is to set up, and what comes first. */
export function Overview() {
  const { setup } = words.value;
  const done = useLoad(fetchDone, [sites.value.length]);
  return (
    <>
      <p class="lead">{setup.lead}</p>
      <Loaded of={done}>{(found) => <Steps done={found} />}</Loaded>
      <ul class="setup-areas">
        {areas.map((area) => (
          <li key={area}>
            <Link to={`/setup/${area}`}>
              <span class="setup-area-name">{setup.area[area]}</span>
              <span class="setup-area-lead">{setup.areaLead[area]}</span>
            </Link>
          </li>
        ))}
        <li>
          <Link to="/labels">
            <span class="setup-area-name">{setup.labels}</span>
            <span class="setup-area-lead">{setup.labelsLead}</span>
          </Link>
        </li>
        <li>
          <Link to="/sheets">
            <span class="setup-area-name">{setup.sheets}</span>
            <span class="setup-area-lead">{setup.sheetsLead}</span>
          </Link>
        </li>
      </ul>
    </>
  );
}
