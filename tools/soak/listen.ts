// A client that listens to promises until the server ends the stream.

const LISTEN = 'subscription { promiseAtRisk { __typename } }'

/** Milliseconds within which a stream ends whose key was revoked. */
const MOST_TO_END = 10_000

/** Listens with a key, does `then` once it is heard, and waits until the server has ended the stream. */
export async function listenUntilTheEnd(address: string, key: string, then: () => Promise<void>): Promise<void> {
  const response = await fetch(`${address}/graphql`, {
    method: 'POST',
    headers: {
      ...{ accept: 'text/event-stream', 'content-type': 'application/json' },
      ...{ authorization: `Bearer ${key}`, connection: 'close' },
    },
    body: JSON.stringify({ query: LISTEN }),
    signal: AbortSignal.timeout(MOST_TO_END),
  })
  if (!response.ok || !response.body) throw new Error(`listening was answered by ${response.status}`)
  await then()
  for await (const _ of response.body);
}
