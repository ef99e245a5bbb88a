import { Page } from '../parts';
import { words } from '../words';

export default function Setup() {
  const { title, lead } = words.value.setup;
  return (
    <Page title={title}>
      <p class="lead">{lead}</p>
    </Page>
  );
}
