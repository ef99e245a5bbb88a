import { useState } from 'preact/hooks';

import { Button, Form, TextField } from '../parts';
import { Wordmark } from '../parts/icons';
import { LanguageSwitch } from '../parts/language-switch';
import { Others } from '../phone/others';
import { problemText, toProblem } from '../problem';
import { Link } from '../router';
import { ended, signIn } from '../session';
import { words } from '../words';

function reason(thrown: unknown): string {
  const problem = toProblem(thrown);
  if (problem.code === 'account_ended') return words.value.signIn.ended;
  if (problem.status === 401 || problem.status === 422) return words.value.signIn.wrong;
  if (problem.status === 429) return words.value.signIn.tooMany;
  return problemText(problem, words.value);
}

/** Email and password. `expired`: the page behind is kept until one is back. */
export default function SignIn({ expired = false }: { expired?: boolean }) {
  const { common, signIn: said } = words.value;
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const [failure, setFailure] = useState<unknown>(null);
  const [busy, setBusy] = useState(false);
  const submit = (): void => {
    setBusy(true);
    setFailure(null);
    signIn(email.trim(), password)
      .catch((thrown: unknown) => setFailure(thrown))
      .finally(() => setBusy(false));
  };
  return (
    <main class="sign-in">
      <div class="sign-in-head">
        <p class="wordmark">
          <Wordmark />
        </p>
        <LanguageSwitch />
      </div>
      <h1>{ended.value ? said.endedTitle : expired ? common.signedOutTitle : said.title}</h1>
      <p class="lead">{ended.value && failure === null ? said.ended : expired && !ended.value ? common.signedOut : said.lead}</p>
      <Form onSubmit={submit}>
        <TextField label={said.email} type="email" name="email" autocomplete="username" value={email} onValue={setEmail} />
        <TextField label={said.password} type="password" name="password" autocomplete="current-password" value={password} onValue={setPassword} />
        <p class="sign-in-failure" role="alert">
          {failure !== null && reason(failure)}
        </p>
        <Button kind="primary" type="submit" wide busy={busy}>
          {busy ? said.submitting : said.submit}
        </Button>
      </Form>
      <Others />
      {!expired && (
        <p class="quiet">
          <Link to="/sums">{common.pages.sums}</Link> · {said.sums}
        </p>
      )}
    </main>
  );
}
