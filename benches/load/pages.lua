-- For wrk: asks for the pages of the list PAGES (a path a line), each thread for its share of them. With TIMES=once each page
-- is asked for once, with TIMES=again from the first again and again. Prints what `serve_load.sh` tells, in milliseconds.

local begun = 0

function setup(thread)
  thread:set("place", begun)
  thread:set("threads", tonumber(os.getenv("THREADS")))
  begun = begun + 1
end

local share, next_page, answered = {}, 0, 0

function init()
  local number = 0
  for path in io.lines(os.getenv("PAGES")) do
    if number % threads == place then share[#share + 1] = path end
    number = number + 1
  end
end

function request()
  next_page = next_page % #share + 1
  return wrk.format("GET", share[next_page])
end

function response(status)
  answered = answered + 1
  if os.getenv("TIMES") == "once" and answered >= #share then wrk.thread:stop() end
end

function done(summary, latency)
  local errors = summary.errors
  local failed = errors.connect + errors.read + errors.write + errors.status + errors.timeout
  local at = function(percent) return latency:percentile(percent) / 1000 end
  io.write(string.format(
    "| %s | %d | %.2f | %.2f | %.2f | %d |\n",
    os.getenv("WHAT"), summary.requests, at(50), at(99), latency.max / 1000, failed
  ))
end
