// What puts a promise at risk, and what a subscriber hears of it by server-sent events.
import { expect } from 'vitest'
import { addDays } from '../../src/planner/documents/index.ts'
import type { openTestApi } from './api.ts'

type TestApi = Awaited<ReturnType<typeof openTestApi>>

/** Subscribes to an app's news with a key, or without one; the answer goes on until `signal` ends it. */
export function subscribe(
  app: TestApi['app'],
  query: string,
  key: string | undefined,
  signal?: AbortSignal,
): Response | Promise<Response> {
  const headers = { accept: 'text/event-stream', 'content-type': 'application/json' }
  return app.fetch('http://test/graphql', {
    method: 'POST',
    headers: key === undefined ? headers : { ...headers, authorization: `Bearer ${key}` },
    body: JSON.stringify({ query }),
    signal,
  })
}

/** Listens to a subscription from now on: `heard` is its text until it has all of the words. */
export function listenFor(response: Response, ...words: string[]) {
  expect(response.headers.get('content-type')).toContain('text/event-stream')
  const reader = response.body?.pipeThrough(new TextDecoderStream()).getReader()
  const hear = async () => {
    for (let text = ''; ; ) {
      const part = await reader?.read()
      text += part?.value ?? ''
      if (part?.done || words.every((word) => text.includes(word))) return text
    }
  }
  return { heard: hear(), leave: () => reader?.cancel() }
}

/** Takes every fermenter of a scenario out of service, from today to the end of the horizon. */
export async function closeFermenters(data: TestApi['data'], { problem, names }: TestApi['scenario']): Promise<void> {
  const { today, horizonDays, vessels } = problem
  const outOfService = [{ from: today, to: addDays(today, horizonDays - 1) }]
  for (const { id } of vessels.filter(({ kind }) => kind === 'FERMENTER')) {
    const vessel = { externalRef: names.vessels?.[id]?.externalRef ?? '' }
    await data(`mutation ($input: ChangeVesselInput!) { changeVessel(input: $input) { __typename } }`, {
      input: { vessel, outOfService },
    })
  }
}
