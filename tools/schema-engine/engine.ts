// Loads the WebAssembly build of Prisma's schema engine and calls it by the names of the command line's protocol.
import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import type { ErrorCapturingSqlMigrationAwareDriverAdapterFactory } from '@prisma/driver-adapter-utils'
import * as glue from '@prisma/schema-engine-wasm/schema_engine_bg'

export interface SchemaEngine {
  /** Calls `method` with the parameters of the protocol. Throws the engine's own error, or one for an unknown method. */
  call(method: string, params: unknown): Promise<unknown>
}

/** The methods of the protocol, with the engine's name for each. */
const METHODS = new Map([
  ...[
    'applyMigrations',
    'createMigration',
    'dbExecute',
    'devDiagnostic',
    'diagnoseMigrationHistory',
    'diff',
    'ensureConnectionValidity',
    'evaluateDataLoss',
    'introspect',
    'introspectSql',
    'markMigrationApplied',
    'markMigrationRolledBack',
    'reset',
    'schemaPush',
  ].map((name): [string, string] => [name, name]),
  ['getDatabaseVersion', 'version'],
])

/** The part of the global that is used here; the types of Node 20 don't name it. */
declare const WebAssembly: {
  instantiate(bytes: Uint8Array, imports: object): Promise<{ instance: { exports: Record<string, unknown> } }>
}

/** Where the engine leaves the message of a panic before it stops for good. */
const panics = {
  message: '',
  set_message(message: string) {
    panics.message = message
  },
}

/** The engine over the schema files `datamodels` (name and text) and a database. */
export async function loadSchemaEngine(
  datamodels: [string, string][],
  adapter: ErrorCapturingSqlMigrationAwareDriverAdapterFactory,
): Promise<SchemaEngine> {
  const entry = createRequire(import.meta.url).resolve('@prisma/schema-engine-wasm')
  const bytes = await readFile(join(dirname(entry), 'schema_engine_bg.wasm'))
  // Node 20 imports no WebAssembly, so the package's own entry cannot be used.
  const { instance } = await WebAssembly.instantiate(bytes, { './schema_engine_bg.js': { ...glue } })
  glue.__wbg_set_wasm(instance.exports)
  const start = instance.exports.__wbindgen_start
  if (typeof start !== 'function') throw new Error('the schema engine has no start function')
  start()
  Object.assign(globalThis, { PRISMA_WASM_PANIC_REGISTRY: panics })
  // A panic surfaces outside of the call that caused it. It becomes the call's answer: on an engine that dies without
  // one the command line may end as if all were well.
  const panic = new Promise<never>((_, reject) => {
    process.on('uncaughtException', (error) => reject(new Error(panics.message || error.message, { cause: error })))
  })
  panic.catch(() => {})
  const engine = await glue.SchemaEngine.new(
    { datamodels: datamodels.length > 0 ? datamodels : undefined },
    () => {},
    adapter,
  )
  return {
    async call(method, params) {
      const target: unknown = Reflect.get(engine, METHODS.get(method) ?? '')
      if (typeof target !== 'function') throw new Error(`the schema engine knows no method ${method}`)
      return Promise.race([Reflect.apply(target, engine, params === undefined ? [] : [params]), panic])
    },
  }
}
