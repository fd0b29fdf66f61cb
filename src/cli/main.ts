import { main } from "./program.ts";

// a reader that goes away early (head) is no fault
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code !== "EPIPE") throw error;
});
await main(process.argv.slice(2));
