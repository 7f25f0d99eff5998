// How much memory an export takes: a server in a process of its own sends 100,000 order lines to a client that only counts them.
import { execFileSync } from 'node:child_process'
import { request } from 'node:http'
import { LARGE_ID, plannedLargeScenario, saveLarge } from '../../serving/large-data.ts'
import { ownDatabase } from '../../serving/own-database.ts'
import { startedServer } from '../../serving/server-process.ts'
import { milliseconds, type Part, type Report } from '../part.ts'

const MEBIBYTE = 1024

/** Milliseconds between two looks at the memory. */
const BETWEEN_LOOKS = 50

export const exporting: Part = {
  name: 'export',
  about: 'a table of 100,000 order lines, sent by a server in a process of its own: its memory above idle',
  async run(report) {
    await exports(report, 'embedded', undefined)
    const url = process.env.TEST_DATABASE_URL
    if (url) await exports(report, 'PostgreSQL', url)
  },
}

async function exports(report: Report, where: string, serverUrl: string | undefined): Promise<void> {
  const scenario = plannedLargeScenario()
  const own = await ownDatabase(serverUrl)
  try {
    const database = await own.open()
    const keys = await saveLarge(database.client, scenario)
    const count = (report.quick ? 10_000 : 100_000) - scenario.problem.orderLines.length
    // Delivered long ago: what is open has a place in the plan in force.
    await database.client.$executeRaw`
      INSERT INTO "Order" ("distributorId", "id", "externalRef", "number", "accountId", "status", "placedAt", "note")
      SELECT ${LARGE_ID}, 'past-' || n, 'PAST-' || n, 1000000 + n, (SELECT min("id") FROM "Account" WHERE "distributorId" = ${LARGE_ID}),
        'DELIVERED', now(), 'by the gate, "left"' FROM generate_series(1, ${count}::int) n`
    await database.client.$executeRaw`
      INSERT INTO "OrderLine" ("distributorId", "id", "orderId", "lineNumber", "packId", "quantity", "serveOn", "status", "delivered", "dispatched")
      SELECT ${LARGE_ID}, 'past-' || n, 'past-' || n, 1, (SELECT min("id") FROM "Pack" WHERE "distributorId" = ${LARGE_ID}),
        2, DATE '2026-01-01', 'DELIVERED', 2, 2 FROM generate_series(1, ${count}::int) n`
    // As a server does by itself within a minute.
    await database.client.$executeRaw`ANALYZE "Order", "OrderLine"`
    await database.close()
    await measure(report, where, own.environment, keys.sales)
  } finally {
    await own.drop()
  }
}

async function measure(report: Report, where: string, environment: Record<string, string>, key: string): Promise<void> {
  const server = await startedServer(environment)
  try {
    const { pid } = server
    if (pid === undefined) throw new Error('the server has no process')
    const address = `${server.address()}/export/orders.csv`
    // The first request opens what later ones find open.
    await linesOf(`${address}?serveFrom=2100-01-01`, key)
    const idle = memoryOf(pid)
    let peak = idle
    const looking = setInterval(() => {
      peak = Math.max(peak, memoryOf(pid))
    }, BETWEEN_LOOKS)
    const began = performance.now()
    const lines = await linesOf(address, key).finally(() => clearInterval(looking))
    const ms = performance.now() - began
    const mebibytes = (kibibytes: number) => `${(kibibytes / MEBIBYTE).toFixed(0)} MiB`
    report.table(
      ['database', 'lines', 'time', 'idle', 'at most'],
      [[where, lines - 1, milliseconds(ms), mebibytes(idle), mebibytes(peak)]],
    )
    report.goal(`${where}: memory above idle`, peak - idle, 100 * MEBIBYTE, mebibytes)
  } finally {
    await server.stop()
  }
}

/** Resident memory of a process, in kibibytes. */
function memoryOf(pid: number): number {
  return Number(execFileSync('ps', ['-o', 'rss=', '-p', String(pid)], { encoding: 'utf8' }))
}

/** Reads a table to its end and counts its line breaks (no cell of these has one). */
function linesOf(address: string, key: string): Promise<number> {
  return new Promise((resolve, reject) => {
    const sent = request(address, { headers: { authorization: `Bearer ${key}` } }, (answer) => {
      let lines = 0
      answer.on('data', (chunk: Buffer) => {
        for (const byte of chunk) if (byte === 0x0a) lines += 1
      })
      answer.on('error', reject)
      answer.on('end', () => (answer.statusCode === 200 ? resolve(lines) : reject(new Error(`${answer.statusCode}`))))
    })
    sent.on('error', reject)
    sent.end()
  })
}
