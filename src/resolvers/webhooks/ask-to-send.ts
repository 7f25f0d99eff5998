// Asks for the job that sends what waits for a webhook, as the database does with each change.
import type { TransactionClient } from '../../database/client.ts'

/** Lets what waits be sent at the instant, or earlier where it was asked for earlier. */
export async function askToSend(
  tx: TransactionClient,
  distributorId: string,
  webhookId: string,
  at: Date,
): Promise<void> {
  await tx.$executeRaw`SELECT ask_to_send(${distributorId}, ${webhookId}, ${at}::timestamptz)`
}
