// Answers the Prisma command line as its native schema engine does (JSON-RPC, a line a message, over stdin and
// stdout), by the engine's WebAssembly build.
import { readFile } from 'node:fs/promises'
import { createInterface } from 'node:readline'
import { parseArgs } from 'node:util'
import { bindMigrationAwareSqlAdapterFactory } from '@prisma/driver-adapter-utils'
import pg from 'pg'
import { z } from 'zod'
import { schemaEngineAdapter } from './adapter.ts'
import { loadSchemaEngine, type SchemaEngine } from './engine.ts'

const request = z.object({ id: z.number(), method: z.string(), params: z.unknown().optional() })
const answer = z.object({ id: z.number(), result: z.unknown() })
const printable = z.looseObject({ stdout: z.string().min(1) })
const datasourceOption = z.object({ url: z.string().optional() })
const databaseError = z.object({ message: z.string(), code: z.string().optional() })

/** Serves one command line: `--datamodels FILE…`, `--datasource JSON`, or the sub-commands of `cli`. Returns the exit code. */
export async function main(args: string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      datamodels: { type: 'string', multiple: true, short: 'd' },
      datasource: { type: 'string' },
      'enabled-preview-features': { type: 'string' },
      'extension-types': { type: 'string' },
    },
  })
  const url = values.datasource ? datasourceOption.parse(JSON.parse(values.datasource)).url : undefined
  if (positionals[0] === 'cli') return command(positionals[1], url)
  const datamodels = await Promise.all(
    (values.datamodels ?? []).map(async (file): Promise<[string, string]> => [file, await readFile(file, 'utf8')]),
  )
  const adapter = bindMigrationAwareSqlAdapterFactory(schemaEngineAdapter(url || undefined))
  const engine = await loadSchemaEngine(datamodels, adapter)
  await serve(engine)
  return 0
}

/** Answers requests until stdin ends. A request that fails is answered with an error; the engine goes on. */
async function serve(engine: SchemaEngine): Promise<void> {
  const send = (message: object) => process.stdout.write(`${JSON.stringify({ jsonrpc: '2.0', ...message })}\n`)
  let prints = 0
  for await (const line of createInterface({ input: process.stdin })) {
    const message: unknown = JSON.parse(line)
    // The command line acknowledges each `print`; nothing waits for that.
    if (answer.safeParse(message).success) continue
    const { id, method, params } = request.parse(message)
    try {
      const result = await engine.call(method, params)
      const text = printable.safeParse(result)
      if (text.success) {
        prints += 1
        send({ id: prints, method: 'print', params: { content: text.data.stdout } })
      }
      send({ id, result: result ?? null })
    } catch (error) {
      const fault = databaseError.safeParse(error)
      const text = fault.success ? fault.data.message : String(error)
      send({
        id,
        error: {
          code: 4466,
          message: 'An error happened. Check the data field for details.',
          data: { is_panic: false, message: text, error_code: fault.success ? fault.data.code : undefined },
        },
      })
    }
  }
}

/** The sub-commands that the command line runs as a program of their own. */
async function command(name: string | undefined, url: string | undefined): Promise<number> {
  try {
    if (!url) throw new Error('no database address was given')
    if (name === 'can-connect-to-database') await query(url, 'SELECT 1')
    else if (name === 'create-database') await createDatabase(url)
    else throw new Error(`unknown command ${name}`)
    return 0
  } catch (error) {
    const fault = databaseError.safeParse(error)
    // P1003: the database does not exist; P1001: the server cannot be reached.
    const code = fault.success && fault.data.code === '3D000' ? 'P1003' : 'P1001'
    const fields = { error_code: code, message: fault.success ? fault.data.message : String(error) }
    // The command line skips the first line and reads the rest as log records.
    process.stderr.write(`\n${JSON.stringify({ level: 'ERROR', target: 'schema_engine::logger', fields })}`)
    return 1
  }
}

async function createDatabase(url: string): Promise<void> {
  const target = new URL(url)
  const name = decodeURIComponent(target.pathname.slice(1))
  target.pathname = '/postgres'
  await query(target.href, `CREATE DATABASE ${pg.escapeIdentifier(name)}`)
}

async function query(url: string, sql: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(sql)
  } finally {
    await client.end()
  }
}
