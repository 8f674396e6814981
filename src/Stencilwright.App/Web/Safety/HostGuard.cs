using System.Net;

namespace Stencilwright.App.Web.Safety;

/// <summary>
/// Refuses requests that were not meant for this machine: a foreign page can point a name of its own at the loopback
/// address (DNS rebinding), and can open sockets and send forms across origins.
/// </summary>
internal sealed class HostGuard(RequestDelegate next, ServerChoice choice)
{
    public Task InvokeAsync(HttpContext context)
    {
        var request = context.Request;
        if (request.Headers["X-Forwarded-Proto"].ToString() == Uri.UriSchemeHttps)
        {
            // A proxy with TLS stands in front: cookies are then marked so that they never go out without it. Whoever only
            // claims it is left with a cookie that its own browser keeps back.
            request.Scheme = Uri.UriSchemeHttps;
        }

        if (choice.IsLocal && !IsLocalName(request.Host.Host))
        {
            return Refuse(context);
        }

        var origin = request.Headers.Origin.ToString();
        var isOwn = origin.Length == 0 || (Uri.TryCreate(origin, UriKind.Absolute, out var from) && from.Authority.Equals(request.Host.Value, StringComparison.OrdinalIgnoreCase));
        return isOwn ? next(context) : Refuse(context);
    }

    private static bool IsLocalName(string host) =>
        host.Equals("localhost", StringComparison.OrdinalIgnoreCase) || (IPAddress.TryParse(host.Trim('[', ']'), out var address) && IPAddress.IsLoopback(address));

    private static Task Refuse(HttpContext context)
    {
        context.Response.StatusCode = StatusCodes.Status403Forbidden;
        context.Response.ContentType = "text/plain; charset=utf-8";
        return context.Response.WriteAsync("This workshop answers only to its own address.");
    }
}
