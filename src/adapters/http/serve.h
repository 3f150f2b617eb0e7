#pragma once
// The server as one call: from options to the end of the last request.
#include <functional>
#include <string>
#include <vector>

#include "adapters/http/site.h"
#include "app/serve.h"

namespace headroom::http {

// Serves until `stop` says so, asked some times a second. `ready` is called once, when requests are taken. Errors: refused when
// the port is taken; io when the folder for uploads cannot be made; those of check_map_file().
[[nodiscard]] Result<void> serve(const ServeRequest& request, SiteOptions options,
                                 const std::function<void(const ServeReady&)>& ready, const std::function<bool()>& stop);

}  // namespace headroom::http
