// A question of which half is sent: what a server that stops does with it.
import { request } from 'node:http'
import { setTimeout as wait } from 'node:timers/promises'

/** Sends half of a question with a key; `finish` sends the rest and answers what comes back. */
export async function halfAsked(address: string, key: string): Promise<{ finish: () => Promise<string> }> {
  const body = JSON.stringify({ query: '{ distributor { name } }' })
  const headers = {
    authorization: `Bearer ${key}`,
    'content-type': 'application/json',
    'content-length': body.length,
  }
  const asking = request(`${address}/graphql`, { method: 'POST', headers })
  const answer = new Promise<string>((resolve, reject) => {
    asking.on('error', reject)
    asking.on('response', (response) => {
      let text = ''
      response.on('data', (chunk) => (text += chunk))
      response.on('end', () => resolve(text))
    })
  })
  answer.catch(() => undefined)
  await new Promise<void>((written) => asking.write(body.slice(0, 9), () => written()))
  await wait(200)
  return {
    finish: () => {
      asking.end(body.slice(9))
      return answer
    },
  }
}
