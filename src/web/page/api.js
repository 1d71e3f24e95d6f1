// Calls to the daemon. A call that is not answered in kPatience counts as a lost connection.

const kPatience = 8000;  // ms

export class ApiError extends Error {
  /** status 0: no answer came. problems: [{where, message, remedy}], as the daemon tells them. */
  constructor(status, problems, message, retryAfter) {
    super(message || problems.map((problem) => problem.message).join("; "));
    this.name = "ApiError";
    this.status = status;
    this.problems = problems;
    this.retryAfter = retryAfter;  // seconds or null
  }
}

let refused = () => {};
/** Called when the daemon wants a join code first (401). */
export function onRefused(called) { refused = called; }

async function call(method, path, body) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), kPatience);
  let response;
  let text;
  try {
    const request = {method, signal: stop.signal, cache: "no-store", credentials: "same-origin"};
    if (method === "POST") {
      request.headers = {"Content-Type": "application/json"};
      request.body = JSON.stringify(body === undefined ? {} : body);
    }
    response = await fetch(path, request);
    text = await response.text();
  } catch (failure) {
    throw new ApiError(0, [], "No connection to Panewalk.");
  } finally {
    clearTimeout(timer);
  }
  let json = null;
  try { json = text === "" ? null : JSON.parse(text); } catch (failure) { json = null; }
  if (response.ok) {
    if (json === null) throw new ApiError(response.status, [], `${path} gave no JSON.`);
    return json;
  }
  if (response.status === 401) refused();
  const problems = json && Array.isArray(json.problems) ? json.problems : [];
  const message = problems.length ? "" : `Panewalk answered ${response.status} to ${path}.`;
  const wait = Number(response.headers.get("Retry-After"));
  throw new ApiError(response.status, problems, message, wait > 0 ? wait : null);
}

/** get("/api/site") → the parsed JSON, or throws ApiError. */
export function get(path) { return call("GET", path); }
/** post("/api/light", {…}) → the parsed JSON, or throws ApiError. */
export function post(path, body) { return call("POST", path, body); }
