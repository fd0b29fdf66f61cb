/** How a job file says that it is one. Apart from the schema, for the page, which runs no schema. */
export const JOB_FORMAT = "velarium.job";
export const JOB_VERSION = 8;
