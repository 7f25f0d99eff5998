// What runs a worker asks it as it asks a server: does it live (`/health/live`), is it ready (`/health/ready`), and what has it counted
// (`/metrics`)? A worker answers nothing else.
import type { RequestListener } from 'node:http'
import type { PrismaClient } from '../database/client.ts'
import type { Metrics } from '../operations/metrics.ts'
import { metricsAnswer, readyAnswer } from './health.ts'
import { type HttpAnswer, wrongMethod } from './refusals.ts'

export interface WorkerPagesOptions {
  client: Pick<PrismaClient, '$queryRaw'>
  metrics: Metrics
  /** What `/metrics` is read with; where none is set there is no such address. */
  token: string | undefined
  /** Aborted when the worker stops. */
  stopping: AbortSignal
}

/** Answers requests to a worker. */
export function workerPages(options: WorkerPagesOptions): RequestListener {
  return ({ url = '', method = 'GET', headers }, response) => {
    const asked = { path: url.replace(/\?.*$/s, ''), method, authorization: headers.authorization ?? null }
    void answerTo(asked, options).then(({ status, headers, body }) => {
      response.writeHead(status, headers).end(method === 'HEAD' ? undefined : body)
    })
  }
}

interface Asked {
  path: string
  method: string
  authorization: string | null
}

async function answerTo(asked: Asked, { client, metrics, token, stopping }: WorkerPagesOptions): Promise<HttpAnswer> {
  if (asked.path === '/metrics' && token !== undefined) return metricsAnswer(asked, metrics, token)
  const refused = wrongMethod(asked, 'GET', 'HEAD')
  if (refused) return refused
  if (asked.path === '/health/live') return { status: 200, headers: {}, body: '' }
  if (asked.path === '/health/ready') return readyAnswer(client, stopping)
  return {
    status: 404,
    headers: { 'content-type': 'text/plain; charset=utf-8' },
    body: 'A worker answers no requests.\n',
  }
}
