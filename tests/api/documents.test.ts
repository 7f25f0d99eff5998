// The records and the plan in force as documents over HTTP: what anyone can check is what the API shows.
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { check } from '../../src/command-line/check.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { openTestApi } from '../support/api.ts'
import { ran } from '../support/run-command.ts'

const { app, keys, data, clock, revision, faults, scenario } = await openTestApi({ planned: true })
const folder = await mkdtemp(join(tmpdir(), 'fillwright-documents-'))
afterAll(() => rm(folder, { recursive: true }))

const fetchDocument = (name: string, headers: Record<string, string> = {}, method = 'GET') =>
  app.fetch(`http://test/documents/${name}`, {
    method,
    headers: { authorization: `Bearer ${keys.planner}`, ...headers },
  })

/** Saves a document as a client does. Answers its path and what it is. */
async function saved(name: string) {
  const response = await fetchDocument(name)
  expect(response.status).toBe(200)
  const text = await response.text()
  const path = join(folder, name.replace(/[?].*/, ''))
  await writeFile(path, text)
  return { path, revision: Number(response.headers.get('x-revision')), json: z.looseObject({}).parse(JSON.parse(text)) }
}

/** Both documents are of one revision, and the command judges them valid. */
async function expectChecked() {
  const problem = await saved('problem.json')
  const plan = await saved(`plan.json?revision=${problem.revision}`)
  expect([problem.revision, plan.revision]).toEqual([await revision(), await revision()])
  const { code, stdout, stderr } = await ran(check, problem.path, plan.path)
  expect({ code, stderr, stdout }).toEqual({ code: 0, stderr: '', stdout: expect.stringMatching(/^Valid\. Cost \d/) })
  return { problem: problem.json, plan: plan.json }
}

const runShape = z.object({
  id: z.string(),
  on: z.string(),
  quantity: z.int(),
  batchId: z.string(),
  packId: z.string(),
})

test('what the server shows passes the check: at first, after facts, and after days have passed', {
  timeout: 120_000,
}, async () => {
  const { plan, problem } = await expectChecked()
  const batches = z.array(z.object({ id: z.string() })).parse(problem.batches)
  const run = z
    .array(runShape)
    .parse(plan.fillRuns)
    .find(({ on, batchId }) => on === scenario.problem.today && batches.some(({ id }) => id === batchId))
  if (!run) throw new Error('something is filled today')
  const facts = [
    { filled: { fillRun: run.id, quantity: run.quantity - 2, spoiled: 1 } },
    {
      batchQuarantined: {
        batch: { id: encodeGlobalId('Batch', batches.find(({ id }) => id !== run.batchId)?.id ?? '') },
      },
    },
  ]
  const record = 'mutation ($facts: [FactInput!]!) { recordFacts(input: { facts: $facts }) { __typename } }'
  expect(await data(record, { facts }, 'floor')).toEqual({ recordFacts: { __typename: 'FactsPayload' } })
  const since = await expectChecked()
  const { on, batchId, packId } = run
  expect(since.plan.fillRuns).not.toContainEqual(expect.objectContaining({ on, batchId, packId }))
  for (let day = 0; day < 3; day++) {
    clock.set(new Date(clock.now().getTime() + 86_400_000))
    const { problem: rolled } = await expectChecked()
    expect(rolled.today).toBe(clock.now().toISOString().slice(0, 10))
  }
  expect(faults).toEqual([])
})

test('a document is sent again only when the records have moved on', async () => {
  const first = await fetchDocument('plan.json')
  const tag = first.headers.get('etag') ?? ''
  expect(first.headers.get('cache-control')).toBe('private, no-cache')
  for (const known of [tag, `"other", ${tag}`, '*']) {
    const again = await fetchDocument('plan.json', { 'if-none-match': known })
    expect([again.status, await again.text(), again.headers.get('etag')]).toEqual([304, '', tag])
  }
  await data(
    'mutation { changeFiller(input: { filler: { externalRef: "LINE-1" }, minutesPerDay: 200 }) { __typename } }',
  )
  const since = await fetchDocument('plan.json', { 'if-none-match': tag })
  expect([since.status, Number(since.headers.get('x-revision'))]).toEqual([200, await revision()])
  const old = Number(first.headers.get('x-revision'))
  expect((await fetchDocument(`plan.json?revision=${old}`)).status).toBe(409)
  expect((await fetchDocument(`plan.json?revision=${await revision()}`)).status).toBe(200)
})

test('HEAD says what GET would, without the document', async () => {
  const head = await fetchDocument('problem.json', {}, 'HEAD')
  const { headers } = await fetchDocument('problem.json')
  expect([head.status, await head.text()]).toEqual([200, ''])
  for (const name of ['x-revision', 'etag', 'content-type']) expect(head.headers.get(name)).toBe(headers.get(name))
})

test.each([
  ['a method that is none of its own', 'POST', {}, [405, 'allow', 'GET, HEAD']],
  ['no key', 'GET', { authorization: '' }, [401, 'www-authenticate', 'Bearer']],
  ['a key that is not good', 'HEAD', { authorization: 'Bearer fw_wrong' }, [401, 'www-authenticate', 'Bearer']],
] as const)('%s is refused with its status and what HTTP asks for', async (_, method, headers, refused) => {
  const response = await fetchDocument('plan.json', headers, method)
  expect([response.status, refused[1], response.headers.get(refused[1])]).toEqual(refused)
})

test('a key without the scope is refused, and learns which it lacks', async () => {
  const make =
    'mutation ($input: CreateApiKeyInput!) { createApiKey(input: $input) { ... on CreateApiKeyPayload { key } } }'
  const { createApiKey } = await data(make, { input: { name: 'till', scopes: ['orders:read'] } })
  const { key } = z.object({ key: z.string() }).parse(createApiKey)
  const response = await fetchDocument('plan.json', { authorization: `Bearer ${key}` })
  expect(response.status).toBe(403)
  expect(response.headers.get('www-authenticate')).toBe('Bearer error="insufficient_scope", scope="plan:read"')
  expect(await response.json()).toEqual({
    errors: [
      {
        message: 'The key lacks the scope plan:read.',
        extensions: { code: 'DOCUMENT_FORBIDDEN', kind: 'FORBIDDEN', action: 'Use a key that has the named scope.' },
      },
    ],
  })
})
