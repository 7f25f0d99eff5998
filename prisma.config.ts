// What the Prisma command line reads. The schema engine is ours (tools/schema-engine.mjs) unless the environment names
// another: the native one would be fetched from a host that closed networks don't reach. Nothing asks for news either.
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'prisma/config'

process.env.PRISMA_SCHEMA_ENGINE_BINARY ??= fileURLToPath(new URL('tools/schema-engine.mjs', import.meta.url))
process.env.CHECKPOINT_DISABLE ??= '1'

export default defineConfig({
  schema: 'prisma/schema.prisma',
  migrations: { path: 'prisma/migrations' },
  datasource: { url: process.env.DATABASE_URL ?? '' },
})
